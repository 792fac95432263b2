import pytest

from server.shop.comparison import Compared, comparisons, names
from server.shop.evidence import gather
from server.shop.target import histories, refresh
from server.store.tables import Capture, Target


def all_compared(here):
    return comparisons(gather(here.db, here.job, here.front_end), histories(here.db, here.job))


def compared(here, key, place="LF"):
    refresh(here.db, here.job, here.front_end, now=here.now)
    found = all_compared(here)
    return next((one for one in found if (one.key, one.place) == (key, place)), None)


def test_a_figure_stands_as_found_as_aimed_at_and_as_left(at):
    here = at("preset", "bench")

    before = compared(here, "tie-rod.length")
    assert (before.found.text, before.left) == ("12 5/8 in", None)
    assert before.target.value == before.found.value

    left = here.measure(here.step("preset", "bench"), "tie-rod.length", "12 11/16 in")

    assert compared(here, "tie-rod.length").left == left


def test_toe_is_worked_out_from_the_tape_in_its_outer_columns(at):
    toe = compared(at("preset", "bench"), "toe.total", "car")

    assert isinstance(toe.found, Target)
    assert toe.found.value == pytest.approx(0.0254 / 8)
    assert toe.left is None
    assert toe.workings == [toe.target, toe.found] if toe.target else [toe.found]


def test_corners_come_before_the_whole_car_and_ride_height_before_all_else(at):
    here = at("preset", "bench")
    refresh(here.db, here.job, here.front_end, now=here.now)

    order = [(one.place, one.key) for one in all_compared(here)]

    assert order[0] == ("LF", "ride-height")
    assert [place for place, _ in order] == sorted(
        (place for place, _ in order), key=["LF", "RF", "car"].index
    )


def test_what_a_target_was_before_comes_newest_first(at):
    here = at("preset", "bench")
    target = compared(here, "tie-rod.length").target
    for value in (0.31, 0.30):
        told = target.model_dump(exclude={"id", "value", "supersedes_id"})
        here.db.add(Target(**told, value=value, supersedes_id=None))
    here.db.flush()

    found = all_compared(here)
    seen = next(one for one in found if one.key == "tie-rod.length")

    assert seen.target.value == 0.30
    assert [one.value for one in seen.before] == [0.31, target.value]


@pytest.mark.parametrize(
    ("left", "target", "fits"),
    [
        ((1.00, 0.01), (1.02, 0.02), True),
        ((1.00, 0.01), (1.04, 0.02), False),
        ((1.04, 0.01), (1.00, 0.02), False),
        (None, (1.0, 0.1), None),
        ((1.0, 0.1), None, None),
        ((1.0, 0.1), (None, None), None),
    ],
)
def test_a_figure_fits_its_target_within_what_both_may_be_off(left, target, fits):
    taken = Capture(value=left[0], uncertainty=left[1]) if left else None
    aimed = Target(value=target[0], uncertainty=target[1]) if target else None

    assert Compared("camber", "LF", "Camber", None, aimed, taken, ()).fits is fits


def test_whatever_a_target_can_rest_on_has_a_name(at):
    here = at("preset", "bench")
    refresh(here.db, here.job, here.front_end, now=here.now)
    called = names(here.front_end)

    rests_on = {
        one["name"]
        for compared in all_compared(here)
        for working in compared.workings
        for one in working.inputs
    }

    assert rests_on
    assert rests_on <= set(called)
    assert called["tie-rod.pitch"] == "Tie-rod thread pitch"
