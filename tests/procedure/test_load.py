"""A wrong library file is refused with its name, the line and what is wrong (bad inputs D8)."""

from pathlib import Path

import pytest

from server.procedure.document import LibraryError
from server.procedure.load import front_ends, load, parse
from tests.procedure.small import SMALL


def line_of(text: str, marker: str) -> int:
    return next(number for number, line in enumerate(text.splitlines(True), start=1) if marker in line)


def changed(*changes: tuple[str, str]) -> str:
    text = SMALL
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} has to name one place"
        text = text.replace(old, new)
    return text


# what is wrong: (old, new), line that shows it, complaint
CHANGES = {
    "alias bomb": (
        ("describes: A wheel", "a: &a [x, x]\nb: [*a, *a]\ndescribes: A wheel"),
        "a: &a",
        "anchors and aliases",
    ),
    "python object": (
        ("reuse: If the", "reuse: !!python/object/apply:os.system [ls]\n#"),
        "!!python",
        "tags are not allowed",
    ),
    "doubled key": (
        ("    final_at: floor", "    final_at: floor\n    final_at: air"),
        "final_at: air",
        "'final_at' is doubled",
    ),
    "tab": (("    count: 5", "\tcount: 5"), "count: 5", "a tab"),
    "cycle of steps": (
        ("needs: {stance: floor}", "needs: {stance: floor, each.wheel: off}"),
        "needs: {car.stance: stands}",
        "a cycle of steps: support needs wheel needs support",
    ),
    "cycle of one step": (
        ("makes: {wheel: off}", "makes: {wheel: off}\n      needs_shaft_side: {wheel: off}"),
        "needs_shaft_side",
        "a cycle of steps: wheel needs wheel",
    ),
    "negative torque": (("lowest: 20 N·m", "lowest: -20 N·m"), "- id: nut-torque", "negative torque"),
    "negative stage": (("[0.5, 1.0]", "[-0.5, 1.0]"), "stages:", "greater than 0"),
    "falling stages": (("[0.5, 1.0]", "[1.0, 0.5]"), "- id: wheel-nut", "rise and end at 1.0"),
    "torque value": (("torque: torque.wheel-nut", "torque: 40 N·m"), "torque: 40", "pattern"),
    "negative minutes": (
        ("minutes_up: 5\n    why: To see", "minutes_up: -5\n    why: To see"),
        "-5",
        "greater than 0",
    ),
    "unit missing": (("          unit: N·m\n", ""), "- id: nut-torque", "unit missing"),
    "band without unit": (("lowest: 20 N·m", "lowest: '20'"), "- id: nut-torque", "unit missing"),
    "unit of another quantity": (("lowest: 20 N·m", "lowest: 20 mm"), "- id: nut-torque", "'mm' is not"),
    "band upside down": (("lowest: 20 N·m", "lowest: 400 N·m"), "- id: nut-torque", "lowest has to be below"),
    "unknown fastener": (("wheel-nut, act: off", "nut, act: off"), "nut, act: off", "unknown fastener 'nut'"),
    "unknown part": (("parts: [wheel]", "parts: [weel]"), "[weel]", "unknown part 'weel'"),
    "unknown hazard": (("begin: [raised]", "begin: [rased]"), "rased", "unknown hazard 'rased'"),
    "unknown state": (("{each.wheel: on}", "{each.weel: on}"), "each.weel", "unknown state 'weel'"),
    "unknown value": (("{stance: stands}", "{stance: up}"), "stance: up", "cannot be 'up'"),
    "unknown way back": (
        ("    parts: [wheel]", "    goes_back_with: hub\n    parts: [wheel]"),
        "goes_back_with",
        "no operation 'hub'",
    ),
    "unknown operation": (
        ("decide: false}", "decide: false, keep_until: preset}"),
        "keep_until",
        "unknown operation 'preset'",
    ),
    "unknown act": (("act: torque", "act: tighten"), "act: tighten", "act: Input should be"),
    "unknown field": (("pattern: star", "patern: star"), "patern", "Extra inputs"),
    "missing field": (("    why: To see behind it.\n", ""), "- id: wheel\n", "why: Field required"),
    "yes is not true": (("safety: true", "safety: yes"), "safety: yes", "valid boolean"),
    "two sentences": (("Put the wheel on.", "Put it on. Now."), "sentence: Put it", "pattern"),
    "doubled operation": (("- id: wheel\n", '- id: "support"\n'), '"support"', "is doubled in operations"),
    "refit without an order": (("{each.wheel: on}", "{each.wheel: off}"), "- id: support", "stuck, lacking"),
}


def test_the_whole_library_loads() -> None:
    assert list(front_ends()) == ["coil-on-lower-arm"]


def test_the_small_front_end_is_sound() -> None:
    assert [operation.id for operation in parse(SMALL, file="small.yaml").operations] == ["support", "wheel"]


@pytest.mark.parametrize(("change", "marker", "complaint"), CHANGES.values(), ids=CHANGES)
def test_a_wrong_entry_is_refused_with_file_line_and_what_is_wrong(
    change: tuple[str, str], marker: str, complaint: str
) -> None:
    text = changed(change)

    with pytest.raises(LibraryError) as refused:
        parse(text, file="small.yaml")

    fault = next(fault for fault in refused.value.faults if complaint in fault.what)
    assert (fault.file, fault.line) == ("small.yaml", line_of(text, marker))
    assert f"small.yaml:{fault.line}: " in str(refused.value)


@pytest.mark.parametrize(
    ("text", "line", "complaint"),
    [
        ("# nothing\n", 1, "the file is empty"),
        ("id: small\nname: [small", 2, "not YAML"),
        ("id: small\nname: \x00", 2, "not YAML"),
        ("id: small\nname: " + "[" * 200 + "]" * 200, 2, "nested deeper"),
        ("id: small\n? [a, b]\n: c", 2, "a key has to be a word"),
        ("#" * 1_000_001, 1, "larger than"),
        ("- id: small", 1, "valid dictionary"),
    ],
    ids=["empty", "open list", "control character", "deep nesting", "key of a list", "too large", "a list"],
)
def test_a_file_that_is_no_library_is_refused(text: str, line: int, complaint: str) -> None:
    with pytest.raises(LibraryError) as refused:
        parse(text, file="small.yaml")

    assert refused.value.faults[0].line == line
    assert complaint in refused.value.faults[0].what


def test_an_acute_hazard_left_standing_is_refused() -> None:
    text = changed(
        ("makes: {wheel: off}", "makes: {wheel: off}\n      hazards_begin: [raised]"),
        ("acute: false", "acute: true"),
    )

    with pytest.raises(
        LibraryError, match=f":{line_of(text, '- id: wheel' + chr(10))}: .*end with raised standing"
    ):
        parse(text, file="small.yaml")


def test_a_fact_that_nobody_makes_may_not_be_needed() -> None:
    text = changed(("[on, off]", "[on, off, lost]"), ("reach: {wheel: off}", "reach: {wheel: lost}"))

    with pytest.raises(LibraryError, match=r":\d+: wheel = lost has to be made by one operation, not by no"):
        parse(text, file="small.yaml")


def test_a_fact_that_two_operations_make_may_not_be_needed() -> None:
    text = changed(("makes: {stance: stands}", "makes: {stance: stands, each.wheel: off}"))

    with pytest.raises(LibraryError, match="made by one operation, not by support and wheel"):
        parse(text, file="small.yaml")


def test_words_that_other_readers_take_for_true_stay_words() -> None:
    assert parse(SMALL, file="small.yaml").states.corner == {"wheel": ("on", "off")}


def test_all_faults_of_a_file_are_told_at_once() -> None:
    text = SMALL.replace("parts: [wheel]", "parts: [weel]").replace(
        "hazards_end: [raised]", "hazards_end: [up]"
    )

    with pytest.raises(LibraryError) as refused:
        parse(text, file="small.yaml")

    assert [fault.what for fault in refused.value.faults] == ["unknown hazard 'up'", "unknown part 'weel'"]


def test_bytes_that_are_not_utf8_are_refused_with_their_line(tmp_path: Path) -> None:
    path = tmp_path / "small.yaml"
    path.write_bytes(b"id: small\nname: \xff\n")

    with pytest.raises(LibraryError, match=r"small.yaml:2: not UTF-8"):
        load(path)


def test_half_a_library_is_none(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text(SMALL)
    (tmp_path / "b.yaml").write_text(
        SMALL.replace("id: small", "id: other").replace("parts: [wheel]", "parts: [x]")
    )

    with pytest.raises(LibraryError, match=r"b\.yaml:\d+: unknown part"):
        front_ends(tmp_path)


def test_a_front_end_in_two_files_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text(SMALL)
    (tmp_path / "b.yaml").write_text(SMALL)

    with pytest.raises(LibraryError, match=r"b\.yaml:1: front end 'small' is in another file"):
        front_ends(tmp_path)


def test_an_empty_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(LibraryError, match="no front end here"):
        front_ends(tmp_path)
