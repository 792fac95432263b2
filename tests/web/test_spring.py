"""The unrolled wire: what the marks say, and where it is drawn."""

import pytest

from server.web.spring import LEFT, PITCH, RIGHT, TOP, ends_of, hooks_of, unrolled

FOUR = (
    "Upper hook: coil 1, 12 o'clock, yellow paint",
    "Upper hook: coil 1 1/2, 6 o'clock",
    "Lower hook: coil 6, 12 o'clock",
    "Lower hook: coil 6 1/2, 6 o'clock",
)


def test_a_mark_names_coil_and_clock() -> None:
    assert [(one.coil, one.clock) for one in hooks_of(FOUR)] == [(1, 12), (1, 6), (6, 12), (6, 6)]


@pytest.mark.parametrize("text", ["upper hook", "coil 2", "6 o'clock", "coil 2, 13 o'clock"])
def test_a_mark_that_says_too_little_is_no_hook(text: str) -> None:
    assert hooks_of([text]) == ()


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("Lower end: 4 o'clock", {"bottom": 4}),
        ("top end at 12 o’clock", {"top": 12}),
        ("Lower hook 4 o'clock", {}),
    ],
)
def test_a_mark_can_say_where_the_wire_ends(text: str, ends: dict[str, int]) -> None:
    assert ends_of([text]) == ends


def test_the_hooks_have_so_many_coils_between_them() -> None:
    assert unrolled(hooks_of(FOUR), {}).between == "5"


def test_one_hook_has_nothing_between() -> None:
    assert unrolled(hooks_of(FOUR[:1]), {}).between == ""


def test_a_hook_lies_on_its_coil_at_its_clock() -> None:
    (_, spot), *_ = unrolled(hooks_of(["coil 2, 3 o'clock"]), {}).hooks

    assert spot == pytest.approx(complex(LEFT + (RIGHT - LEFT) / 4, TOP + PITCH * 1.25))


def test_twelve_is_the_start_of_a_coil_not_its_end() -> None:
    (_, spot), *_ = unrolled(hooks_of(["coil 3, 12 o'clock"]), {}).hooks

    assert spot == pytest.approx(complex(LEFT, TOP + PITCH * 2))


def test_the_wire_goes_on_until_somebody_says_where_it_ends() -> None:
    hooks = hooks_of(FOUR)

    assert unrolled(hooks, {}).goes_on
    ended = unrolled(hooks, {"bottom": 3})
    assert not ended.goes_on
    assert ended.ends == (("bottom", pytest.approx(complex(LEFT + (RIGHT - LEFT) / 4, TOP + PITCH * 6.25))),)
