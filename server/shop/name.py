"""Names of people as the eye reads them: what one may be called, and which two look the same."""

import unicodedata

from server.shop.refusal import Refusal

LONGEST = 60  # characters as one sees them
MARKS_IN_A_ROW = 3
MOST_CODES = LONGEST * (1 + MARKS_IN_A_ROW)  # beyond this nothing is even looked at
JOINERS = "\u200c\u200d"  # belong to some scripts and to some emoji
# Blank to the eye though Unicode counts them as letters, symbols or marks.
BLANK = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u180b\u180c\u180d\u180e\u180f\u2800\u3164\uffa0")

# Letters whose capitals or small ones cannot be told from Latin; and i, l, 1 and o, 0 among themselves.
ALIKE = str.maketrans(
    "авекмнорстухѕіјԛԝһԁӏ" + "αβεζηικμνορτυχ" + "iı1|0",
    "abekmhopctyxsljqwhdl" + "abezhlkmnoptyx" + "llllo",
)


def clean(name: str) -> str:
    """The name as it is kept: outer blanks off, inner ones single, accents composed.

    raises  Refusal, field "name"
    """
    if len(name) > MOST_CODES:
        raise _too_long()
    name = unicodedata.normalize("NFC", " ".join(name.split()))
    if not key(name):
        raise Refusal("Type a name that one can read.", field="name")
    if any(_is_hidden(letter) for letter in name):
        raise Refusal("That name has a character in it that cannot be seen. Type it anew.", field="name")
    if most_marks(name) > MARKS_IN_A_ROW:
        raise Refusal("That name has too many marks on one letter.", field="name")
    if sum(not _is_mark(letter) for letter in name) > LONGEST:
        raise _too_long()
    return name


def key(name: str) -> str:
    """The same for all names that look the same; "" for one in which nothing can be read."""
    if len(name) > MOST_CODES:
        return ""
    folded = unicodedata.normalize("NFD", unicodedata.normalize("NFKC", name).casefold())
    plain = "".join(letter for letter in folded if not "\u0300" <= letter <= "\u036f").translate(ALIKE)
    read = [letter for letter in plain if unicodedata.category(letter)[0] in "LNM" and not _is_blank(letter)]
    return "".join(read) if any(unicodedata.category(letter)[0] in "LN" for letter in read) else ""


def _too_long() -> Refusal:
    return Refusal(f"That name is longer than {LONGEST} characters.", field="name")


def _is_hidden(letter: str) -> bool:
    if letter in JOINERS or letter == " ":
        return False
    return unicodedata.category(letter)[0] in "CZ" or letter in BLANK


def _is_blank(letter: str) -> bool:
    return letter in BLANK or "\ufe00" <= letter <= "\ufe0f"


def _is_mark(letter: str) -> bool:
    return unicodedata.category(letter)[0] == "M" or letter in JOINERS


def most_marks(name: str) -> int:
    """The longest pile of accents and the like on one letter."""
    most = row = 0
    for letter in name:
        row = row + 1 if _is_mark(letter) else 0
        most = max(most, row)
    return most
