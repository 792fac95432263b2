import pytest

from server.shop.capture import note_at
from server.shop.decision import VERDICTS, decide, standing_decisions, to_decide
from server.shop.refusal import Conflict, Refusal
from server.store.tables import Job, Step


@pytest.fixture
def here(at):
    here = at("inspect", "bench")
    here.start(here.step("inspect", "bench"))
    return here


def listed(here, part):
    bench = here.step("inspect", "bench")
    return next(one for one in to_decide(here.db, bench, here.front_end) if one.part.id == part)


def say(here, part, verdict="renew", **said):
    bench = here.step("inspect", "bench")
    said = {"reason": "boot torn", "evidence": None, "supersedes": None} | said
    return decide(
        here.db,
        bench,
        listed(here, part).part,
        client_id=here.client_id(),
        verdict=verdict,
        by=here.crew.technician,
        now=here.now,
        **said,
    )


def photo(here):
    return here.photograph(here.step("inspect", "bench"))


def test_the_bench_decides_on_what_is_off_at_its_own_corner(here):
    bench = here.step("inspect", "bench")

    parts = [one.part.id for one in to_decide(here.db, bench, here.front_end)]

    assert {"link", "tie-rod", "caliper", "shock", "knuckle", "spring"} == set(parts)
    assert "wheel" not in parts  # comes off, but nothing is decided on it


@pytest.mark.parametrize("verdict", VERDICTS)
def test_a_decision_is_kept_with_its_reason_its_evidence_and_its_name(here, verdict):
    evidence = photo(here)

    made = say(here, "tie-rod", verdict, evidence=evidence)

    assert listed(here, "tie-rod").decision == made
    assert (made.verdict, made.reason, made.evidence_id) == (verdict, "boot torn", evidence.id)
    assert (made.person_id, made.at) == (here.crew.technician.id, here.now)


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"verdict": "perhaps"}, "verdict"),
        ({"verdict": ""}, "verdict"),
        ({"reason": "  "}, "reason"),
        ({"reason": "x" * 301}, "reason"),
        ({"reason": "\u200b"}, "reason"),
        ({"reason": "boot\u202etorn"}, "reason"),
        ({"evidence": None}, "evidence"),
    ],
)
def test_a_decision_without_verdict_reason_or_evidence_is_refused_beside_its_field(here, said, field):
    with pytest.raises(Refusal) as refused:
        say(here, "tie-rod", **({"evidence": photo(here)} | said))

    assert refused.value.field == field
    assert listed(here, "tie-rod").decision is None


def test_a_measurement_is_evidence(here):
    bench = here.step("inspect", "bench")

    made = say(here, "spring", evidence=here.measure(bench, "spring.free-length", "15 1/4 in"))

    assert listed(here, "spring").decision == made


def test_a_note_is_no_evidence(here):
    note = note_at(here.db, here.step("inspect", "bench"), here.hand(), text="looked fine to me")

    with pytest.raises(Refusal, match="photo or a measurement"):
        say(here, "tie-rod", evidence=note)


def test_a_photo_of_another_car_is_no_evidence(here):
    other = Job(
        **here.job.model_dump(exclude={"id"}),
    )
    here.db.add(other)
    here.db.flush()
    elsewhere = Step(job_id=other.id, seq=1, operation="inspect", place="LF", direction="bench", after=[])
    here.db.add(elsewhere)
    here.db.flush()

    with pytest.raises(Refusal, match="photo or a measurement"):
        say(here, "tie-rod", evidence=here.photograph(elsewhere, digest="d2"))


def test_a_change_of_mind_supersedes_and_what_was_said_before_stays_readable(here):
    first = say(here, "tie-rod", "reuse", reason="looks good", evidence=photo(here))

    second = say(here, "tie-rod", "renew", reason="play when cold", evidence=photo(here), supersedes=first)

    seen = listed(here, "tie-rod")
    assert seen.decision == second
    assert seen.history == (first,)
    assert standing_decisions(here.db, here.job.id) == [second]


@pytest.mark.parametrize("stale", [False, True])
def test_who_did_not_see_the_last_decision_does_not_overrule_it(here, stale):
    first = say(here, "tie-rod", "reuse", evidence=photo(here))
    second = say(here, "tie-rod", "renew", evidence=photo(here), supersedes=first)

    with pytest.raises(Conflict, match="decided on Tie-rod assembly meanwhile"):
        say(here, "tie-rod", "repair", evidence=photo(here), supersedes=first if stale else None)

    assert listed(here, "tie-rod").decision == second


def test_two_corners_are_decided_on_apart(here):
    say(here, "tie-rod", evidence=photo(here))

    [made] = standing_decisions(here.db, here.job.id)

    assert (made.part, made.place) == ("tie-rod", "LF")
