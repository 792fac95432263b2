"""A line of text that people will read: a shop's or a bay's name."""

import unicodedata

from server.shop.name import BLANK
from server.shop.refusal import Refusal


def line(text: str, *, field: str, longest: int) -> str:
    """Outer blanks off, inner ones single.

    raises  Refusal where nothing can be read, something is hidden in it, or it is too long
    """
    text = unicodedata.normalize("NFC", " ".join(text.split()))
    if not any(unicodedata.category(letter)[0] in "LNS" and letter not in BLANK for letter in text):
        raise Refusal("Type something that one can read.", field=field)
    if any(unicodedata.category(letter) in ("Cc", "Cf", "Cs", "Zl", "Zp") for letter in text):
        raise Refusal("There is a character in it that cannot be seen. Type it anew.", field=field)
    if len(text) > longest:
        raise Refusal(f"That is longer than {longest} characters.", field=field)
    return text
