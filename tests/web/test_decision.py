import pytest
from sqlmodel import select

from server.store.tables import Capture, Decision, Job, Tag
from tests.shop.conftest import grey_picture
from tests.web.next_door import phone_next_door
from tests.web.phone import PARTIAL
from tests.web.work import open_work


@pytest.fixture(scope="module")
def prepared(shop_at_step):
    return shop_at_step(["tie-rods"], "inspect", "bench")


@pytest.fixture
def bench(work):
    return next(one for one in work.steps() if (one.operation, one.place) == ("inspect", "LF"))


@pytest.fixture
def length(work):
    """The old tie rod's length, as found."""
    with work.store.reading() as db:
        figures = Capture.key == "tie-rod.length", Capture.place == "LF"
        return db.exec(select(Capture).where(*figures)).one()


def decide(phone, step, length=None, *, files=None, headers=None, **form):
    said = {
        "part": "tie-rod",
        "verdict": "renew",
        "reason": "play in the outer joint",
        "evidence": str(length.id) if length else "",
    }
    return phone.fill_in(f"/steps/{step.id}/decisions", files=files, headers=headers, **(said | form))


def decisions(work):
    with work.store.reading() as db:
        return list(db.exec(select(Decision).order_by(Decision.id)))


def a_photo():
    return [("photo", ("a.jpg", grey_picture(), "image/jpeg"))]


def test_a_decision_is_kept_with_its_reason_its_evidence_and_whose_it_is(bo, people, work, bench, length):
    answer = decide(bo, bench, length, reason="  play in the outer joint ")

    assert (answer.status_code, answer.headers["location"]) == (303, f"/steps/{bench.id}")
    [made] = decisions(work)
    assert (made.part, made.place, made.verdict) == ("tie-rod", "LF", "renew")
    assert (made.reason, made.evidence_id) == ("play in the outer joint", length.id)
    assert made.person_id == people["Bo Berg"].id
    page = bo.get(f"/steps/{bench.id}").text
    assert "play in the outer joint" in page


def test_a_decision_takes_the_bench_in_hand(bo, work, bench, length):
    decide(bo, bench, length)

    assert next(one for one in work.steps() if one.id == bench.id).state == "in hand"


def test_htmx_gets_the_part_and_what_depends_on_it(bo, bench, length):
    answer = decide(bo, bench, length, headers=PARTIAL)

    assert answer.status_code == 200
    assert 'id="decision-tie-rod"' in answer.text
    assert 'hx-target="#dock"' in answer.text
    assert "<html" not in answer.text


@pytest.mark.parametrize("headers", [{}, PARTIAL])
@pytest.mark.parametrize(
    ("form", "field", "sentence"),
    [
        ({"verdict": ""}, "verdict", "Choose what becomes of it."),
        ({"verdict": "bin"}, "verdict", "Choose what becomes of it."),
        ({"reason": " \n"}, "why", "Say why, in a few words."),
        ({"evidence": ""}, "evidence", "A decision rests on a photo or a measurement"),
        ({"evidence": "999999"}, "evidence", "A decision rests on a photo or a measurement"),
        ({"evidence": "1; DROP"}, "evidence", "A decision rests on a photo or a measurement"),
    ],
)
def test_what_is_missing_is_said_beside_its_field_and_the_rest_stays_typed(
    bo, work, bench, length, headers, form, field, sentence
):
    said = {"reason": "play in <b>both</b> joints"} | form

    answer = decide(bo, bench, length, headers=headers, **said)

    assert answer.status_code == 422
    assert sentence in answer.text
    assert answer.text.count('aria-invalid="true"') == 1
    wrong = answer.text[: answer.text.index('aria-invalid="true"')].rindex("<")
    assert f'id="{field}-tie-rod"' in answer.text[wrong:].split(">")[0]
    if "reason" not in form:
        assert 'value="play in &lt;b&gt;both&lt;/b&gt; joints"' in answer.text
    if "verdict" not in form:
        assert 'value="renew" checked' in answer.text
    assert ("<html" in answer.text) is not bool(headers)
    assert decisions(work) == []


def test_a_decision_may_rest_on_a_photo_taken_with_it(bo, work, bench):
    assert decide(bo, bench, files=a_photo()).status_code == 303

    [made] = decisions(work)
    with work.store.reading() as db:
        evidence = db.get_one(Capture, made.evidence_id)
    assert (evidence.kind, evidence.step_id) == ("photo", bench.id)


def test_a_refused_decision_leaves_no_photo_behind(bo, work, bench):
    answer = decide(bo, bench, files=a_photo(), reason="")

    assert answer.status_code == 422
    with work.store.reading() as db:
        assert db.exec(select(Capture).where(Capture.step_id == bench.id)).all() == []
    assert next(one for one in work.steps() if one.id == bench.id).state == "to do"


def test_what_is_no_picture_is_no_evidence(bo, work, bench, length):
    answer = decide(bo, bench, length, files=[("photo", ("a.jpg", b"%PDF-1.7", "image/jpeg"))])

    assert answer.status_code == 422
    assert 'role="alert"' in answer.text
    assert 'value="play in the outer joint"' in answer.text
    assert decisions(work) == []


def test_a_note_or_a_gap_is_no_evidence(bo, work, bench):
    bo.fill_in(f"/steps/{bench.id}/notes", text="looks tired")
    with work.store.reading() as db:
        note = db.exec(select(Capture).where(Capture.kind == "note", Capture.step_id == bench.id)).one()

    assert decide(bo, bench, note).status_code == 422


def test_a_change_of_mind_supersedes_and_the_first_one_stays_readable(bo, cy, work, bench, length):
    decide(bo, bench, length, verdict="reuse", reason="no play")
    [first] = decisions(work)

    answer = decide(cy, bench, length, supersedes=str(first.id))

    assert answer.status_code == 303
    assert [one.supersedes_id for one in decisions(work)] == [None, first.id]
    page = bo.get(f"/steps/{bench.id}").text
    assert "<s>reuse</s>, no play" in page


def test_who_decides_on_what_somebody_has_decided_meanwhile_is_told_and_changes_nothing(
    bo, cy, work, bench, length
):
    decide(bo, bench, length, verdict="reuse", reason="no play")
    [first] = decisions(work)

    unaware = decide(cy, bench, length)
    decide(bo, bench, length, verdict="repair", reason="new boot", supersedes=str(first.id))
    stale = decide(cy, bench, length, supersedes=str(first.id))

    for answer in (unaware, stale):
        assert answer.status_code == 409
        assert "Someone has decided on Tie-rod assembly meanwhile." in answer.text
    assert [one.verdict for one in decisions(work)] == ["reuse", "repair"]


def test_the_same_sending_twice_is_one_decision(bo, work, bench, length):
    for _ in range(2):
        assert decide(bo, bench, length, client_id="phone-made-id-0001").status_code == 303

    assert len(decisions(work)) == 1
    assert decide(bo, bench, length, verdict="reuse", client_id="phone-made-id-0001").status_code == 409


def test_a_renewed_parts_tag_may_go_only_once_the_bench_has_said_so(bo, work, bench, length):
    with work.store.reading() as db:
        tag = db.exec(select(Tag).where(Tag.part == "tie-rod", Tag.place == "LF")).one()
    before = bo.get(f"/jobs/{work.job_id}/tags").text

    decide(bo, bench, length)

    assert bo.get(f"/jobs/{work.job_id}/tags").text != before
    assert tag.state == "out"


@pytest.mark.parametrize(
    ("part", "operation"), [("bar", "inspect"), ("x" * 500, "inspect"), ("tie-rod", "preset")]
)
def test_a_part_is_decided_on_only_where_it_is_off_and_at_the_bench(bo, work, length, part, operation):
    step = next(one for one in work.steps() if (one.operation, one.place) == (operation, "LF"))

    answer = decide(bo, step, length, part=part)

    assert answer.status_code in (404, 422)
    assert decisions(work) == []


def test_a_part_is_not_decided_on_at_the_step_that_took_it_off(bo, work, length):
    step = next(one for one in work.steps() if (one.operation, one.place) == ("tie-rod", "LF"))

    answer = decide(bo, step, length)

    assert answer.status_code == 404
    assert "That part is not decided on here." in answer.text
    assert decisions(work) == []


@pytest.mark.parametrize("how", ["released_at", "parked_at"])
def test_nothing_is_decided_on_a_job_that_is_released_or_parked(bo, work, bench, length, how):
    decide(bo, bench, length, verdict="reuse", reason="no play")
    [first] = decisions(work)
    with work.store.writing() as db:
        setattr(db.get_one(Job, work.job_id), how, work.now)

    answer = decide(bo, bench, length, supersedes=str(first.id))

    assert answer.status_code == 422
    assert "This job" in answer.text
    assert decisions(work) == [first]


def test_a_figure_of_another_car_is_no_evidence(app, clock, bo, people, work, bench):
    other = open_work(app, people, clock, scopes=["shocks"], plate="CD 34")
    intake = other.steps()[0]
    bo.fill_in(f"/steps/{intake.id}/measurements", key="odometer", place="car", text="61000")
    with work.store.reading() as db:
        figure = db.exec(select(Capture).where(Capture.job_id == other.job_id)).one()

    assert decide(bo, bench, figure).status_code == 422
    assert decisions(work) == []


def test_nobody_of_the_shop_next_door_decides(app, clock, work, bench, length):
    fay = phone_next_door(app, clock)

    assert decide(fay, bench, length).status_code == 404
    assert decisions(work) == []


def test_an_apprentice_may_decide_and_nobody_signed_out(dee, phone, work, bench, length):
    phone.open_form("/sign-in")

    assert decide(phone, bench, length).status_code == 303
    assert decisions(work) == []
    assert decide(dee, bench, length).status_code == 303
    assert len(decisions(work)) == 1
