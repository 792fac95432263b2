"""Text that people will read: a line such as a bay's name, or words such as a note or a reason."""

import unicodedata

from server.shop.name import BLANK, MARKS_IN_A_ROW, most_marks
from server.shop.refusal import Refusal


def line(text: str, *, field: str, longest: int) -> str:
    """Outer blanks off, inner ones single.

    raises  Refusal where nothing can be read, something is hidden in it, piled on a letter, or it is too long
    """
    text = unicodedata.normalize("NFC", " ".join(text.split()))
    if not _is_readable(text):
        raise Refusal("Type something that one can read.", field=field)
    if any(unicodedata.category(letter) in ("Cc", "Cf", "Cs", "Zl", "Zp") for letter in text):
        raise Refusal("There is a character in it that cannot be seen. Type it anew.", field=field)
    if most_marks(text) > MARKS_IN_A_ROW:
        raise Refusal("There are too many marks on one letter.", field=field)
    if len(text) > longest:
        raise Refusal(f"That is longer than {longest} characters.", field=field)
    return text


def words(text: str, *, field: str, longest: int, nothing: str) -> str:
    """Outer blanks off, the rest as it was written.

    nothing  what to say where there is nothing to read in it
    raises   Refusal for that, or where it is too long: nobody's words are cut short
    """
    text = text.strip()
    if not _is_readable(text):
        raise Refusal(nothing, field=field)
    if most_marks(text) > MARKS_IN_A_ROW:
        raise Refusal("There are too many marks on one letter.", field=field)
    if len(text) > longest:
        raise Refusal(f"Keep it under {longest} characters; this has {len(text)}.", field=field)
    return text


def _is_readable(text: str) -> bool:
    return any(unicodedata.category(letter)[0] in "LNS" and letter not in BLANK for letter in text)
