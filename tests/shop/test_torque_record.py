from dataclasses import replace

import pytest
from sqlmodel import select

from server.shop import spec
from server.shop.capture import NeedsConfirming
from server.shop.hold import holds_at
from server.shop.refusal import Conflict, Forbidden, Refusal
from server.shop.torque_record import Pull, correct, may_verify, pin, pull, verify
from server.store.tables import Person, TorqueRecord, Vehicle

LBF_FT_Nm = 1.3558179483  # NIST SP 811 (2008), appendix B.8: pound-force foot to newton metre


@pytest.fixture
def here(at):
    return at("wheel-nuts", "up")


@pytest.fixture
def nuts(here):
    step = here.step("wheel-nuts", "up")
    here.start(step)
    return step


def records(here, step):
    return list(here.db.exec(select(TorqueRecord).where(TorqueRecord.step_id == step.id)))


def write_spec(here, key, text, *, generic=False):
    """A new line on the car's sheet, in place of the one that stands."""
    car = here.db.get_one(Vehicle, here.job.vehicle_id)
    before = spec.sheet(here.db, car.id).get(key)
    spec.write_line(
        here.db,
        car,
        spec.line_of(here.front_end, key),
        client_id=here.client_id(),
        text=text,
        source="A handbook",
        generic=generic,
        by=here.crew.foreman,
        now=here.now,
        confirmed=True,
        supersedes=before,
        reason="another source" if before else "",
    )


# Pulling


def test_a_pull_keeps_what_was_typed_its_window_and_who_pulled_what_with(here, nuts):
    record = here.pull(nuts, "wheel-nut", "34", wrench=" Click wrench 3 ", setting=" 30 lbf·ft ")

    assert (record.text, record.stage, record.fastener, record.act) == ("34", 1, "wheel-nut", "torque")
    assert record.value == pytest.approx(34 * LBF_FT_Nm)
    assert (record.low, record.high) == pytest.approx((30 * LBF_FT_Nm, 37.5 * LBF_FT_Nm))
    assert (record.wrench, record.setting) == ("Click wrench 3", "30 lbf·ft")
    assert (record.person_id, record.at, record.confirmed) == (here.crew.technician.id, here.now, False)


def test_stages_are_pulled_in_their_order_and_each_once(here, nuts):
    assert here.pull(nuts, "wheel-nut", "34 lbf·ft", paint=False).stage == 1
    assert here.pull(nuts, "wheel-nut", "68 lbf·ft").stage == 2

    with pytest.raises(Conflict, match="wheel nut has been recorded already"):
        here.pull(nuts, "wheel-nut", "68 lbf·ft")

    assert len(records(here, nuts)) == 2


def test_the_full_torque_does_not_pass_for_the_first_stage(here, nuts):
    with pytest.raises(NeedsConfirming):
        here.pull(nuts, "wheel-nut", "68 lbf·ft")


def test_the_last_stage_of_a_safety_critical_fastener_wants_its_stripe(here, nuts):
    here.pull(nuts, "wheel-nut", "34 lbf·ft", paint=False)

    with pytest.raises(Refusal, match="stripe") as refused:
        here.pull(nuts, "wheel-nut", "68 lbf·ft", paint=False)

    assert refused.value.field == "paint"
    assert len(records(here, nuts)) == 1
    assert here.pull(nuts, "wheel-nut", "68 lbf·ft", paint=True).paint


@pytest.mark.parametrize("field", ["wrench", "setting"])
@pytest.mark.parametrize("said", ["x" * 161, "\u200b"])
def test_what_is_said_of_the_wrench_is_a_line_and_not_cut_short(here, nuts, field, said):
    with pytest.raises(Refusal) as refused:
        here.pull(nuts, "wheel-nut", "34 lbf·ft", **{field: said})

    assert refused.value.field == field
    assert records(here, nuts) == []


def test_what_is_not_safety_critical_wants_no_stripe(at):
    here = at("shock", "up")
    step = here.step("shock", "up")

    assert not here.pull(step, "shock-top-nut", paint=False).paint


@pytest.mark.parametrize("typed", ["", "tight", "68 mm", "-34", "0 lbf·ft", "34 35"])
def test_a_torque_that_cannot_be_read_is_refused_beside_its_field(here, nuts, typed):
    with pytest.raises(Refusal) as refused:
        here.pull(nuts, "wheel-nut", typed)

    assert refused.value.field == "text"
    assert records(here, nuts) == []


def test_without_a_line_on_the_spec_sheet_nothing_is_pulled(here, nuts):
    pending = replace(here.tightening(nuts, "wheel-nut"), spec=None)

    with pytest.raises(Refusal, match="Write it there first"):
        pull(here.db, nuts, pending, here.hand(), Pull("34 lbf·ft", confirmed=True))

    assert records(here, nuts) == []


@pytest.mark.parametrize("typed", ["30 lbf·ft", "37.5 lbf·ft", "45 N·m"])
def test_a_pull_inside_its_window_ends_included_is_not_held(here, nuts, typed):
    assert not here.pull(nuts, "wheel-nut", typed, confirmed=True).confirmed
    assert holds_at(here.db, nuts) == {}


@pytest.mark.parametrize("typed", ["29.9 lbf·ft", "37.6 lbf·ft"])
def test_a_pull_outside_its_window_is_kept_only_when_confirmed_and_held_for_a_foreman(here, nuts, typed):
    with pytest.raises(NeedsConfirming) as refused:
        here.pull(nuts, "wheel-nut", typed)
    assert refused.value.field == "text"
    assert records(here, nuts) == []

    assert here.pull(nuts, "wheel-nut", typed, confirmed=True).confirmed

    hold = here.hold(nuts, "torque outside: wheel-nut")
    assert (hold.needs_role, hold.confirmed_at) == ("foreman", None)


def test_a_second_pull_outside_is_held_again_although_a_foreman_confirmed_the_first(here, nuts):
    here.pull(nuts, "wheel-nut", "40 lbf·ft", confirmed=True)
    here.confirm(nuts, "torque outside: wheel-nut", by=here.crew.foreman)

    here.pull(nuts, "wheel-nut", "90 lbf·ft", confirmed=True)

    assert here.hold(nuts, "torque outside: wheel-nut").confirmed_at is None


def test_two_pulls_outside_before_a_foreman_has_looked_are_one_hold(here, nuts):
    here.pull(nuts, "wheel-nut", "40 lbf·ft", confirmed=True)
    first = here.hold(nuts, "torque outside: wheel-nut")

    here.pull(nuts, "wheel-nut", "90 lbf·ft", confirmed=True)

    assert here.hold(nuts, "torque outside: wheel-nut") is first


def test_a_torque_that_is_not_the_makers_is_held_for_a_foreman_once(here, nuts):
    write_spec(here, "torque.wheel-nut", "60 to 75 lbf·ft", generic=True)

    here.pull(nuts, "wheel-nut", "34 lbf·ft")

    assert here.hold(nuts, "generic torque: wheel-nut").needs_role == "foreman"
    here.confirm(nuts, "generic torque: wheel-nut", by=here.crew.foreman)
    here.pull(nuts, "wheel-nut", "68 lbf·ft")
    assert here.hold(nuts, "generic torque: wheel-nut").confirmed_by == here.crew.foreman.id


def test_a_record_keeps_the_window_it_was_pulled_against(here, nuts):
    record = here.pull(nuts, "wheel-nut", "34 lbf·ft")

    write_spec(here, "torque.wheel-nut", "90 to 100 lbf·ft")

    assert record.high == pytest.approx(37.5 * LBF_FT_Nm)
    assert here.tightening(nuts, "wheel-nut").window_Nm(2)[0] == pytest.approx(90 * LBF_FT_Nm)


# Pins


def test_a_new_pin_is_recorded_once_its_nut_is_torqued(at):
    here = at("tie-rod", "up")
    step = here.step("tie-rod", "up")
    here.pull(step, "outer-tie-rod-nut")

    record = pin(here.db, step, here.tightening(step, "outer-tie-rod-nut", "cotter"), here.hand())

    assert (record.act, record.stage, record.text, record.value) == ("cotter", 1, "new, ends bent", None)
    assert record.person_id == here.crew.technician.id
    with pytest.raises(Conflict, match="has been recorded"):
        pin(here.db, step, here.tightening(step, "outer-tie-rod-nut", "cotter"), here.hand())


def test_a_pin_does_not_go_in_before_the_torque(at):
    here = at("tie-rod", "up")
    step = here.step("tie-rod", "up")
    here.pull(step, "inner-tie-rod-nut")

    with pytest.raises(Refusal, match="Record the torque of the outer tie-rod nut first"):
        pin(here.db, step, here.tightening(step, "outer-tie-rod-nut", "cotter"), here.hand())


def test_a_pin_does_not_go_in_before_the_last_stage(at):
    here = at("tie-rod", "up")
    step = here.step("tie-rod", "up")
    here.pull(step, "outer-tie-rod-nut")
    pending = here.tightening(step, "outer-tie-rod-nut", "cotter")
    in_two = replace(pending, fastener=pending.fastener.model_copy(update={"stages": (0.5, 1.0)}))

    with pytest.raises(Refusal, match="Record the torque"):
        pin(here.db, step, in_two, here.hand())


def test_a_pin_of_a_generic_torque_is_held_for_nobody(at):
    here = at("tie-rod", "up")
    step = here.step("tie-rod", "up")
    here.pull(step, "outer-tie-rod-nut")
    write_spec(here, "torque.outer-tie-rod-nut", "60 to 75 lbf·ft", generic=True)

    pin(here.db, step, here.tightening(step, "outer-tie-rod-nut", "cotter"), here.hand())

    assert holds_at(here.db, step) == {}


# Corrections


def corrected(here, step, before, text="35 lbf·ft", *, reason="read the wrong scale", **said):
    pending = here.tightening(step, before.fastener)
    return correct(
        here.db, step, pending, before, here.hand(here.crew.second), Pull(text, **said), reason=reason
    )


def test_a_correction_stands_in_the_name_of_who_made_it_and_keeps_wrench_and_stripe(here, nuts):
    first = here.pull(nuts, "wheel-nut", "34 lbf·ft", wrench="No. 3", setting="30 lbf·ft")

    again = corrected(here, nuts, first)

    assert (again.supersedes_id, again.reason) == (first.id, "read the wrong scale")
    assert (again.stage, again.wrench, again.setting, again.paint) == (1, "No. 3", "30 lbf·ft", True)
    assert again.person_id == here.crew.second.id
    assert first.text == "34 lbf·ft"
    assert here.tightening(nuts, "wheel-nut").next_stage == 2


def test_a_corrected_torque_wants_verifying_again(at):
    here = at("caliper", "up")
    step = here.step("caliper", "up")
    first = here.pull(step, "caliper-bolt")
    verify(here.db, first, here.hand(here.crew.second))

    again = corrected(here, step, first, "70 lbf·ft")

    [stands] = here.tightening(step, "caliper-bolt").recorded
    assert (stands.record, stands.verified_by) == (again, None)
    with pytest.raises(Conflict, match="corrected meanwhile"):
        verify(here.db, first, here.hand(here.crew.foreman))
    verify(here.db, again, here.hand(here.crew.foreman))
    assert here.tightening(step, "caliper-bolt").recorded[0].verified_by == "Ilse"


@pytest.mark.parametrize("reason", ["", " ", "\u200b", "x" * 2001])
def test_a_correction_without_a_reason_is_refused(here, nuts, reason):
    first = here.pull(nuts, "wheel-nut", "34 lbf·ft")

    with pytest.raises(Refusal) as refused:
        corrected(here, nuts, first, reason=reason)

    assert refused.value.field == "reason"
    assert records(here, nuts) == [first]


def test_what_has_been_corrected_is_not_corrected_again(here, nuts):
    first = here.pull(nuts, "wheel-nut", "34 lbf·ft")
    corrected(here, nuts, first)

    with pytest.raises(Conflict, match="corrected already"):
        corrected(here, nuts, first, "36 lbf·ft")


def test_a_correction_is_judged_by_the_window_of_its_own_stage(here, nuts):
    first = here.pull(nuts, "wheel-nut", "34 lbf·ft")
    here.pull(nuts, "wheel-nut", "68 lbf·ft")

    with pytest.raises(NeedsConfirming):
        corrected(here, nuts, first, "68 lbf·ft")

    assert corrected(here, nuts, first, "68 lbf·ft", confirmed=True).confirmed
    assert here.hold(nuts, "torque outside: wheel-nut").confirmed_at is None


def test_a_correction_to_another_figure_outside_is_held_again(here, nuts):
    first = here.pull(nuts, "wheel-nut", "40 lbf·ft", confirmed=True)
    here.confirm(nuts, "torque outside: wheel-nut", by=here.crew.foreman)

    corrected(here, nuts, first, "50 lbf·ft", confirmed=True)

    assert here.hold(nuts, "torque outside: wheel-nut").confirmed_at is None


def test_a_correction_that_cannot_be_read_is_refused(here, nuts):
    first = here.pull(nuts, "wheel-nut", "34 lbf·ft")

    with pytest.raises(Refusal) as refused:
        corrected(here, nuts, first, "tight")

    assert refused.value.field == "text"


# The second person


@pytest.mark.parametrize("role", ["second", "foreman"])
def test_another_technician_or_a_foreman_verifies(at, role):
    here = at("caliper", "up")
    record = here.pull(here.step("caliper", "up"), "caliper-bolt")
    person = getattr(here.crew, role)

    seen = verify(here.db, record, here.hand(person))

    assert (seen.record_id, seen.person_id, seen.at) == (record.id, person.id, here.now)


@pytest.mark.parametrize(
    ("puller", "verifier", "sentence"),
    [
        ("technician", "technician", "somebody else"),
        ("foreman", "foreman", "somebody else"),
        ("apprentice", "apprentice", "somebody else"),
        ("technician", "apprentice", "technician or a foreman"),
    ],
)
def test_nobody_verifies_their_own_pull_and_no_apprentice_any(at, puller, verifier, sentence):
    here = at("caliper", "up")
    step = here.step("caliper", "up")
    record = here.pull(step, "caliper-bolt", by=getattr(here.crew, puller))

    with pytest.raises(Forbidden, match=sentence):
        verify(here.db, record, here.hand(getattr(here.crew, verifier)))

    assert here.tightening(step, "caliper-bolt").recorded[0].verified_by is None


def test_who_pulled_does_not_verify_the_correction_of_their_own_pull(at):
    here = at("caliper", "up")
    step = here.step("caliper", "up")
    first = here.pull(step, "caliper-bolt", by=here.crew.technician)
    again = corrected(here, step, first, "70 lbf·ft")

    for person in (here.crew.technician, here.crew.second):
        with pytest.raises(Forbidden, match="somebody else"):
            verify(here.db, again, here.hand(person))

    assert verify(here.db, again, here.hand(here.crew.foreman)).person_id == here.crew.foreman.id


def test_a_record_is_verified_once(at):
    here = at("caliper", "up")
    step = here.step("caliper", "up")
    record = here.pull(step, "caliper-bolt")
    verify(here.db, record, here.hand(here.crew.second))

    with pytest.raises(Conflict, match="verified already"):
        verify(here.db, record, here.hand(here.crew.foreman))

    assert here.tightening(step, "caliper-bolt").recorded[0].verified_by == "Nadia"


def test_the_second_person_is_one_who_is_there_and_qualified_and_somebody_else(here):
    crew, gone = here.crew, Person(id=99, role="technician", left_at=here.now)

    assert may_verify(crew.second, crew.technician)
    assert may_verify(crew.foreman, crew.technician)
    assert not may_verify(crew.technician, crew.technician)
    assert not may_verify(crew.apprentice, crew.technician)
    assert not may_verify(gone, crew.technician)
