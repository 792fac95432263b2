import pytest
from sqlmodel import select

from server.shop import spec
from server.shop.aim.aim import Aim
from server.shop.capture import Correction, miss_at
from server.shop.target import DRAWER, MISSING, TAKEN_BACK, histories, inputs_of, refresh, targets_of
from server.store.tables import Capture, Shim, Target, Vehicle
from tests.shop.bench_top import specified
from tests.shop.test_realign import WANTED, WORDS


@pytest.fixture
def here(at):
    return at("preset", "bench")


def work_out(here):
    refresh(here.db, here.job, here.front_end, now=here.now)


def target(here, key, place="LF"):
    return next(one for one in targets_of(here.db, here.job) if (one.key, one.place) == (key, place))


def found(here, key):
    return here.db.exec(
        select(Capture).where(Capture.job_id == here.job.id, Capture.key == key, Capture.place == "LF")
    ).first()


def write_spec(here, key, text):
    line = next(one for one in spec.lines_for(here.front_end) if one.key == key)
    return spec.write_line(
        here.db,
        here.db.get_one(Vehicle, here.job.vehicle_id),
        line,
        client_id=here.client_id(),
        text=text,
        source="Maker's manual p. 3-14",
        generic=False,
        by=here.crew.foreman,
        now=here.now,
    )


def test_a_target_names_the_step_where_what_it_rests_on_was_captured(here):
    rod = target(here, "tie-rod.length")

    assert rod.value == pytest.approx(0.320675)
    assert rod.capture_ids == [found(here, "tie-rod.length").id]
    assert rod.inputs == [
        {
            "name": "tie-rod.length",
            "text": "12 5/8 in = 320.675 mm",
            "from": "captured",
            "step_id": here.step("tie-rod", "down").id,
        }
    ]


def test_working_out_again_what_has_not_changed_writes_nothing(here):
    work_out(here)
    before = here.db.exec(select(Target)).all()

    work_out(here)

    assert here.db.exec(select(Target)).all() == before


def test_a_corrected_figure_gives_a_new_target_and_the_old_one_stays_readable(here):
    old = target(here, "tie-rod.length")
    down = here.step("tie-rod", "down")
    why = Correction(found(here, "tie-rod.length"), "measured over the ends")

    here.measure(down, "tie-rod.length", "12 1/2 in", correction=why)
    work_out(here)

    new, *before = histories(here.db, here.job)["tie-rod.length", "LF"]
    assert new.value == pytest.approx(0.3175)
    assert new.supersedes_id == old.id
    assert before == [old]


def test_a_target_that_changed_stands_where_it_stood_among_the_others(here):
    before = targets_of(here.db, here.job)
    down = here.step("tie-rod", "down")
    why = Correction(found(here, "tie-rod.length"), "measured over the ends")
    here.measure(down, "tie-rod.length", "12 1/2 in", correction=why)
    work_out(here)

    after = targets_of(here.db, here.job)

    assert [(one.key, one.place) for one in after] == [(one.key, one.place) for one in before]
    assert after == [newest for newest, *_ in histories(here.db, here.job).values()]
    assert after != before


def test_a_target_goes_when_what_it_rested_on_turns_out_never_to_have_been_taken(here):
    down = here.step("tie-rod", "down")
    wanted = here.wanted(down, "tie-rod.length")
    why = Correction(found(here, "tie-rod.length"), "that was the other car's")
    miss_at(here.db, down, wanted, here.hand(), place="LF", reason="rod is gone", correction=why)

    work_out(here)

    assert target(here, "tie-rod.length").value is None
    assert target(here, "tie-rod.length").says == TAKEN_BACK
    work_out(here)
    assert len(histories(here.db, here.job)["tie-rod.length", "LF"]) == 2


def test_a_line_missing_on_the_spec_sheet_is_named_and_the_target_comes_once_it_is_written(here):
    energy = target(here, "spring.energy")
    assert energy.value is None
    missing = [one["name"] for one in energy.inputs if one["from"] == MISSING]
    assert missing == ["spring.rate", "spring.free-length"]

    write_spec(here, "spring.rate", "340 lbf/in")
    write_spec(here, "spring.free-length", "15 1/2 in")
    work_out(here)

    assert target(here, "spring.energy").value == pytest.approx(691.5, abs=0.1)
    assert [one["from"] for one in target(here, "spring.energy").inputs] == [
        "captured",
        "Maker's manual p. 3-14",
        "Maker's manual p. 3-14",
    ]


def test_a_live_hazard_is_told_how_much_energy_it_holds(at):
    here = at("joint-nuts", "up")  # the spring stands compressed
    compressed = next(one for one in here.hazards() if one.kind == "spring-compressed")
    assert compressed.energy_J is None

    write_spec(here, "spring.rate", "340 lbf/in")
    write_spec(here, "spring.free-length", "15 1/2 in")
    work_out(here)

    assert compressed.energy_J == pytest.approx(691.5, abs=0.1)


def test_a_pack_says_what_was_in_the_drawer(at):
    here = at("inspect", "bench")
    down = here.step("tie-rod", "down")
    here.db.add(
        Capture(
            client_id=here.client_id(),
            job_id=here.job.id,
            step_id=down.id,
            key="pack.front",
            place="LF",
            kind="measurement",
            text="5/32 in",
            value=0.00396875,
            uncertainty=0.0004,
            quantity="length",
            person_id=here.crew.technician.id,
            at=here.now,
        )
    )
    here.db.add(Shim(shop_id=here.job.shop_id, text="5/32 in", thickness_m=0.00396875, count=2))
    here.db.flush()

    work_out(here)

    pack = target(here, "pack.front")
    assert pack.says.endswith("From the drawer: 1 × 5/32 in.")
    assert [one["text"] for one in pack.inputs if one["from"] == DRAWER] == ["2 × 5/32 in"]


def test_the_corners_many_lengths_are_one_entry_of_what_a_target_rests_on():
    specs = tuple(specified(key, text) for key, text in (WANTED | WORDS).items())

    inputs = list(inputs_of(Aim("pack.front", "LF", "Make up 3/16 in.", specs=specs)))

    assert [one["name"] for one in inputs] == ["camber", "caster", "toe.total", "corner"]
    assert inputs[-1] == {"name": "corner", "text": "2 figures", "from": "corner", "step_id": None}
