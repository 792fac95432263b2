import re

import pytest
from sqlmodel import select

from server.store.tables import Capture, Hazard, Hold, Job, Person
from tests.web.next_door import phone_next_door
from tests.web.phone import PARTIAL


@pytest.fixture(scope="module")
def prepared(shop_at_step):
    return shop_at_step(["shocks"], "support")


@pytest.fixture
def support(work):
    return find(work, "support", "down")


def find(work, operation, direction):
    found = [one for one in work.steps() if (one.operation, one.direction) == (operation, direction)]
    return next(one for one in found if one.place in ("LF", "car"))


def post(phone, step, act, **form):
    return phone.fill_in(f"/steps/{step.id}/{act}", **form)


def finish(phone, work, step, **form):
    return post(
        phone, step, "finish", revision=str(find(work, step.operation, step.direction).revision), **form
    )


def photographed(phone, step):
    return post(phone, step, "gaps", key="support.photo", place="car", text="no light")


def held(phone, work, step):
    """The car is up, and waits for somebody to confirm its supports."""
    photographed(phone, step)
    assert finish(phone, work, step).status_code == 303
    with work.store.reading() as db:
        return db.exec(select(Hold).where(Hold.step_id == step.id)).one()


def states(work):
    return {(one.operation, one.direction): one.state for one in work.steps() if one.place in ("LF", "car")}


def parted(work, how):
    """The job parked, or released."""
    with work.store.writing() as db:
        job = db.get_one(Job, work.job_id)
        if how == "released":
            job.released_at = work.now
        else:
            job.parked_at, job.parked_why = work.now, "parts"


# Starting


def test_a_step_is_started_from_its_page_and_its_hazard_stands_on_it_at_once(bo, work, support):
    assert (
        '<button class="button button--primary" type="submit">Start</button>'
        in bo.get(f"/steps/{support.id}").text
    )

    answer = post(bo, support, "start")

    assert (answer.status_code, answer.headers["location"]) == (303, f"/steps/{support.id}")
    page = bo.get(f"/steps/{support.id}").text
    assert "Car raised" in page
    assert "Bo Berg" in page
    assert states(work)["support", "down"] == "in hand"


def test_a_step_that_has_to_wait_is_refused_with_a_link_to_each_one_before_it(bo, work, support):
    shock = find(work, "shock", "down")

    answer = post(bo, shock, "start")

    assert answer.status_code == 422
    assert "This comes after other steps." in answer.text
    assert f'href="/steps/{support.id}"' in answer.text
    assert "Raise and support comes first." in answer.text
    assert states(work)["shock", "down"] == "to do"


def test_a_hazard_lives_from_the_first_capture_of_its_step_on(bo, work, support):
    photographed(bo, support)

    with work.store.reading() as db:
        raised = db.exec(select(Hazard).where(Hazard.kind == "car-raised")).one()
        assert (raised.ended_at, raised.began_step_id) == (None, support.id)


@pytest.mark.parametrize(("how", "sentence"), [("released", "has been released"), ("parked", "is parked")])
@pytest.mark.parametrize("act", ["start", "finish", "reopening", "notes"])
def test_nothing_is_done_at_a_step_of_a_job_that_is_released_or_parked(bo, work, support, how, sentence, act):
    intake = find(work, "intake", "down")
    parted(work, how)
    before = states(work)

    form = {"start": {}, "notes": {"text": "loose stone"}}.get(act, {"revision": str(intake.revision)})
    answer = post(bo, intake if act == "reopening" else support, act, **form)

    assert answer.status_code == 422
    assert sentence in answer.text
    assert states(work) == before


@pytest.mark.parametrize("headers", [{}, PARTIAL])
def test_a_form_that_is_not_there_any_more_is_refused_with_what_was_typed(bo, work, support, headers):
    parted(work, "released")

    answer = post(bo, support, "notes", text="stone <in> the tread", headers=headers)

    assert answer.status_code == 422
    assert "This job has been released; what is found now goes on a new one." in answer.text
    assert "You typed: stone &lt;in&gt; the tread" in answer.text
    assert ("<html" in answer.text) is not bool(headers)


def test_on_a_released_job_there_is_nothing_left_to_press(bo, work, support):
    parted(work, "released")

    page = bo.get(f"/steps/{support.id}").text

    assert "This job was released" in page
    main = page[page.index("<main") : page.index("</main")]
    assert 'method="post"' not in main


# Finishing


def test_a_step_that_lacks_something_is_refused_with_a_link_to_where_it_is_put_right(bo, work, support):
    post(bo, support, "start")

    answer = finish(bo, work, support)

    assert answer.status_code == 422
    assert "This step is not done yet." in answer.text
    assert f'href="/steps/{support.id}#captures"' in answer.text
    assert "Both stands under the frame is not captured yet." in answer.text
    assert states(work)["support", "down"] == "in hand"


def test_htmx_gets_what_is_lacking_alone_and_once_done_the_page_anew(bo, work):
    intake = find(work, "intake", "down")
    post(bo, intake, "reopening", revision=str(intake.revision))
    post(bo, intake, "start")

    done = finish(bo, work, intake, headers=PARTIAL)
    assert (done.status_code, done.headers["hx-redirect"]) == (204, f"/steps/{intake.id}")

    support = find(work, "support", "down")
    post(bo, support, "start")
    lacking = finish(bo, work, support, headers=PARTIAL)
    assert lacking.status_code == 422
    assert "This step is not done yet." in lacking.text
    assert f'href="/steps/{support.id}#captures"' in lacking.text
    assert "<html" not in lacking.text


def test_a_step_that_nobody_has_started_is_not_done(bo, work, support):
    answer = finish(bo, work, support)

    assert answer.status_code == 422
    assert "Start the step first." in answer.text


def test_a_page_of_before_is_refused_and_names_who_was_faster(bo, cy, work, support):
    post(bo, support, "start")

    answer = post(cy, support, "finish", revision=str(support.revision))

    assert answer.status_code == 409
    assert "Bo Berg has taken this step in hand meanwhile." in answer.text


def test_a_step_confirmed_meanwhile_is_done_once_in_the_name_of_who_worked(bo, cy, work, support):
    hold = held(bo, work, support)
    seen = str(find(work, "support", "down").revision)
    post(cy, support, f"holds/{hold.id}/confirmation")

    answer = post(bo, support, "finish", revision=seen)

    assert answer.status_code == 409
    assert "Bo Berg has finished this step meanwhile." in answer.text


@pytest.mark.parametrize("revision", ["", "-1", "1e3", "٣", "9" * 10, "x"])
def test_a_revision_that_no_page_of_ours_says_is_refused(bo, work, support, revision):
    post(bo, support, "start")

    answer = post(bo, support, "finish", revision=revision)

    assert answer.status_code == 422
    assert "This page is not as we made it. Load it again." in answer.text


def test_what_is_said_done_twice_under_one_id_is_done_once(bo, cy, work, support):
    hold = held(bo, work, support)
    for _ in range(2):
        answer = post(cy, support, f"holds/{hold.id}/confirmation", client_id="phone-made-id-0001")
        assert answer.status_code == 303

    assert states(work)["support", "down"] == "done"


def test_an_id_spent_at_one_step_does_nothing_at_another(bo, work, support):
    intake = find(work, "intake", "down")
    assert post(bo, intake, "start", client_id="phone-made-id-0001").status_code == 303

    answer = post(bo, support, "start", client_id="phone-made-id-0001")

    assert answer.status_code == 409
    assert states(work)["support", "down"] == "to do"


# Holds


def test_a_hold_stops_the_ladder_and_is_told_to_whoever_may_not_confirm_it(bo, dee, work, support):
    held(bo, work, support)

    assert states(work)["support", "down"] == "on hold"
    page = dee.get(f"/steps/{support.id}").text
    assert "Not confirmed yet" in page
    assert "Waits for a technician or the foreman, in their own name" in page
    assert "It is so:" not in page
    assert post(bo, find(work, "shock", "down"), "start").status_code == 422


def test_an_apprentice_who_confirms_a_hold_all_the_same_is_refused(bo, dee, work, support):
    hold = held(bo, work, support)

    answer = post(dee, support, f"holds/{hold.id}/confirmation")

    assert answer.status_code == 403
    assert "This is for a technician or a foreman to confirm, in their own name." in answer.text
    assert states(work)["support", "down"] == "on hold"


def test_a_confirmed_hold_lets_the_step_be_done_in_the_name_of_who_worked(bo, cy, work, support):
    hold = held(bo, work, support)
    assert "It is so: Cy Castle" in cy.get(f"/steps/{support.id}").text

    assert post(cy, support, f"holds/{hold.id}/confirmation").status_code == 303

    assert states(work)["support", "down"] == "done"
    page = bo.get(f"/steps/{support.id}").text
    assert "Cy Castle" in page
    assert "Next: " in page
    assert "Car raised" in page


def test_a_hold_confirmed_meanwhile_is_not_confirmed_again(ann, bo, cy, work, support):
    hold = held(bo, work, support)
    post(cy, support, f"holds/{hold.id}/confirmation")

    answer = post(ann, support, f"holds/{hold.id}/confirmation")

    assert answer.status_code == 409
    assert "This has been confirmed already." in answer.text


def test_a_hold_belongs_to_its_step(bo, cy, work, support):
    hold = held(bo, work, support)

    for step, hold_id in ((find(work, "intake", "down"), hold.id), (support, hold.id + 1)):
        answer = post(cy, step, f"holds/{hold_id}/confirmation")
        assert answer.status_code == 404
        assert "There is no such hold at this step." in answer.text

    assert states(work)["support", "down"] == "on hold"


# Reopening


def test_a_step_that_is_not_done_after_all_is_opened_again_and_its_hold_waits_anew(bo, cy, work, support):
    hold = held(bo, work, support)
    post(cy, support, f"holds/{hold.id}/confirmation")

    answer = post(bo, support, "reopening", revision=str(find(work, "support", "down").revision))

    assert answer.status_code == 303
    assert states(work)["support", "down"] == "to do"
    page = bo.get(f"/steps/{support.id}").text
    assert "It is so:" not in page
    assert "Car raised" in page
    with work.store.reading() as db:
        old, new = db.exec(select(Hold).where(Hold.step_id == support.id).order_by(Hold.id))
    assert (old.confirmed_by is not None, new.confirmed_at) == (True, None)


def test_the_confirmation_of_a_step_that_was_opened_again_is_refused_until_it_comes_to_it(
    bo, cy, work, support
):
    hold = held(bo, work, support)
    post(cy, support, f"holds/{hold.id}/confirmation")
    post(bo, support, "reopening", revision=str(find(work, "support", "down").revision))
    with work.store.reading() as db:
        new = db.exec(select(Hold).where(Hold.step_id == support.id, Hold.confirmed_at == None)).one()  # noqa: E711

    answer = post(cy, support, f"holds/{new.id}/confirmation")

    assert answer.status_code == 409
    assert "This step has been opened again." in answer.text
    assert states(work)["support", "down"] == "to do"


def test_a_step_on_which_later_work_rests_stays_done(bo, work, support):
    post(bo, support, "start")
    intake = find(work, "intake", "down")

    answer = post(bo, intake, "reopening", revision=str(intake.revision))

    assert answer.status_code == 422
    assert "Raise and support rests on this step and has been started." in answer.text
    assert states(work)["intake", "down"] == "done"


# The page


def test_a_step_says_one_sentence_its_signs_and_what_it_asks_for(bo, support):
    page = bo.get(f"/steps/{support.id}").text

    assert page.count("<h1") == 1
    assert "Raise the car and set it on stands under the frame." in page
    assert "Keep out from under the car until someone has confirmed the supports." in page
    assert "Both stands under the frame" in page
    assert "Two people at the car for this step." in page


def test_htmx_gets_no_whole_page_and_all_that_depends_on_the_part(bo, support):
    answer = bo.get(f"/steps/{support.id}", headers=PARTIAL)

    assert answer.status_code == 200
    assert "<html" not in answer.text
    assert re.findall(r'hx-target="#(\w+)"', answer.text) == ["hazards", "state", "targets", "dock"]


def test_who_is_guided_reads_the_reasons_first(bo, work, support):
    assert "Before you go on" not in bo.get(f"/steps/{support.id}").text

    with work.store.writing() as db:
        db.exec(select(Person).where(Person.name == "Bo Berg")).one().guided = True

    assert "Before you go on" in bo.get(f"/steps/{support.id}").text


@pytest.mark.parametrize("step_id", ["0", "-1", "x", "999999", "2147483648", "1e3"])
def test_a_step_that_is_not_there_is_told_so(bo, step_id):
    assert bo.get(f"/steps/{step_id}").status_code == 404


def test_a_step_of_another_shop_looks_as_if_it_were_not_there(app, clock, bo, work, support):
    fay = phone_next_door(app, clock)
    hold = held(bo, work, support)
    before = states(work)

    for step_id in (support.id, 999999):
        shown = fay.get(f"/steps/{step_id}")
        assert shown.status_code == 404
        assert "There is no such step here." in shown.text
    for act, form in (
        ("start", {}),
        ("finish", {"revision": "3"}),
        ("reopening", {"revision": "3"}),
        (f"holds/{hold.id}/confirmation", {}),
        ("notes", {"text": "hello"}),
    ):
        assert post(fay, support, act, **form).status_code == 404
        assert fay.fill_in(f"/steps/{support.id}/{act}", headers=PARTIAL, **form).status_code == 404

    assert states(work) == before
    with work.store.reading() as db:
        assert db.exec(select(Capture).where(Capture.text == "hello")).first() is None


def test_nobody_signed_out_sees_or_changes_a_step(phone, work, support):
    phone.open_form("/sign-in")
    before = states(work)

    shown = phone.get(f"/steps/{support.id}")
    assert (shown.status_code, shown.headers["location"]) == (303, f"/sign-in?next=%2Fsteps%2F{support.id}")
    for act in ("start", "finish", "reopening", "holds/1/confirmation", "notes", "photos", "torques", "pins"):
        answer = post(phone, support, act)
        assert answer.status_code == 303
        assert answer.headers["location"].startswith("/sign-in")

    assert states(work) == before


def test_a_form_without_the_key_of_the_session_changes_nothing(bo, work, support):
    bo.form_key = "guessed"

    assert post(bo, support, "start").status_code == 403
    assert states(work)["support", "down"] == "to do"


def test_a_field_that_the_page_does_not_have_is_refused(bo, work, support):
    assert post(bo, support, "start", by="1").status_code == 422
    assert states(work)["support", "down"] == "to do"


def test_one_page_that_both_confirms_and_denies_under_one_id_does_the_first(cy, bo, work, support):
    hold = held(bo, work, support)
    post(cy, support, f"holds/{hold.id}/denial", client_id="phone-made-id-0001")

    answer = post(cy, support, f"holds/{hold.id}/confirmation", client_id="phone-made-id-0001")

    assert answer.status_code == 409
    assert states(work)["support", "down"] == "in hand"


def test_what_is_not_so_sends_the_step_back_with_its_hazard_standing(bo, cy, dee, work, support):
    hold = held(bo, work, support)

    assert post(dee, support, f"holds/{hold.id}/denial").status_code == 403
    assert post(cy, support, f"holds/{hold.id}/denial").status_code == 303
    assert post(cy, support, f"holds/{hold.id}/denial").status_code == 409

    assert find(work, "support", "down").state == "in hand"
    assert "Car raised" in bo.get(f"/steps/{support.id}").text
