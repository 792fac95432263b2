import pytest

from server.shop.name import LONGEST, clean, key
from server.shop.refusal import Refusal


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("  Ann   Adler ", "Ann Adler"),
        ("Ann\tAdler", "Ann Adler"),
        ("Jose\u0301", "José"),
        ("Ольга", "Ольга"),
        ("王小明", "王小明"),
        ("O'Neil-Smith Jr.", "O'Neil-Smith Jr."),
        ("Ann \U0001f468\u200d\U0001f469\u200d\U0001f467", "Ann \U0001f468\u200d\U0001f469\u200d\U0001f467"),
        ("=HYPERLINK(1)", "=HYPERLINK(1)"),
        ("<script>alert(1)</script>", "<script>alert(1)</script>"),
    ],
)
def test_a_name_is_kept_as_one_would_write_it(typed: str, kept: str) -> None:
    assert clean(typed) == kept


@pytest.mark.parametrize(
    "typed",
    [
        pytest.param("", id="empty"),
        pytest.param(" \t\n ", id="blanks"),
        pytest.param("\u200b\u200d\u2060", id="zero width only"),
        pytest.param("\u3164\u115f", id="fillers that count as letters"),
        pytest.param("\u2800", id="a blank that counts as a symbol"),
        pytest.param("\u0301\u0302", id="marks without a letter"),
        pytest.param("...", id="nothing to read"),
        pytest.param("Ann\u202eBo", id="turned round"),
        pytest.param("Ann\u200bBo", id="zero width inside"),
        pytest.param("Ann\x1b[31m", id="escape"),
        pytest.param("Ann\u3164", id="filler"),
        pytest.param("Ann\ue000", id="private use"),
        pytest.param("A" + "\u0316" * 4, id="piled marks"),
        pytest.param("Z" + "\u0316" * 10_000, id="ten thousand marks"),
        pytest.param("A" * (LONGEST + 1), id="too long"),
        pytest.param("A" * 1_000_000, id="a megabyte"),
    ],
)
def test_a_name_that_cannot_be_read_is_refused_beside_its_field(typed: str) -> None:
    with pytest.raises(Refusal) as refused:
        clean(typed)

    assert refused.value.field == "name"


def test_length_is_counted_as_one_sees_it() -> None:
    decomposed = "a\u0323\u0302" * LONGEST

    assert clean(decomposed)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Ann", "\u0410nn"),  # Cyrillic capital A
        ("Ann", "\u0391nn"),  # Greek capital alpha
        ("Ann", "ann"),
        ("Ann Lee", "AnnLee"),
        ("Ann Lee", "Ann-Lee"),
        ("Ann", "Ａｎｎ"),  # full width
        ("Jose", "José"),
        ("Bill", "BiII"),
        ("Bob", "B0b"),
        ("Roman", "Rоmаn"),  # Cyrillic o and a
        ("Ann", "Ann\ufe0f"),
        ("Ann", "𝐀𝐧𝐧"),
    ],
)
def test_names_that_look_alike_have_one_key(one: str, other: str) -> None:
    assert key(one) == key(other)


@pytest.mark.parametrize(("one", "other"), [("Ann", "Anna"), ("Ann A", "Ann B"), ("कि", "कु"), ("王", "李")])
def test_names_that_look_different_have_two_keys(one: str, other: str) -> None:
    assert key(one) != key(other)
