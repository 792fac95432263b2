import re
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from sqlmodel import select

from server.shop.capture import Hand, miss_at
from server.shop.job import open_job
from server.store.tables import Capture, Job, Step, Vehicle
from server.web import cookie
from tests.shop.conftest import grey_picture
from tests.web.next_door import phone_next_door
from tests.web.phone import PARTIAL, Phone
from tests.web.work import ShopAtStep, open_work


@pytest.fixture(scope="module")
def prepared(shop_at_step: ShopAtStep) -> Path:
    return shop_at_step(["tie-rods"], "tie-rod")


@pytest.fixture
def tie_rod(work):
    return next(step for step in work.steps() if step.operation == "tie-rod")


def wrong_field(answer):
    """The id of the only field that is told to be wrong."""
    before, mark, _ = answer.text.partition('aria-invalid="true"')
    assert answer.text.count(mark) == 1
    tag = before[before.rindex("<") :]
    return re.search(r' id="([^"]+)"', tag)[1]


def captures(work, step):
    with work.store.reading() as db:
        return list(db.exec(select(Capture).where(Capture.step_id == step.id).order_by(Capture.id)))


def measure(phone, step, text, **form):
    form = {"key": "tie-rod.length", "place": "LF", "text": text} | form
    return phone.fill_in(f"/steps/{step.id}/measurements", **form)


def test_a_measurement_is_kept_as_typed_and_as_read(bo, work, tie_rod):
    answer = measure(bo, tie_rod, "12 5/8")

    assert answer.status_code == 303
    [kept] = captures(work, tie_rod)
    assert (kept.text, kept.read_as) == ("12 5/8", "12 5/8 in = 320.675 mm")
    assert kept.value == pytest.approx(0.320675)
    assert "12 5/8 in = 320.675 mm" in bo.get(f"/steps/{tie_rod.id}").text


def test_taking_a_capture_takes_the_step_in_hand(bo, work, tie_rod):
    measure(bo, tie_rod, "12 5/8")

    with work.store.reading() as db:
        assert db.get_one(Step, tie_rod.id).state == "in hand"


def test_htmx_gets_the_item_and_what_depends_on_it(bo, tie_rod):
    answer = bo.fill_in(
        f"/steps/{tie_rod.id}/measurements",
        headers={"HX-Request": "true", "HX-Request-Type": "partial"},
        key="tie-rod.length",
        place="LF",
        text="320,7 mm",
    )

    assert answer.status_code == 200
    assert 'id="item-tie-rod-length-LF"' in answer.text
    assert 'hx-target="#dock"' in answer.text
    assert "<html" not in answer.text


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("13.1/4", "more than one figure"),
        ("1/0", "cannot have 0 below the line"),
        ("NaN", "does not start with a figure"),
        ("1e309", "without an exponent"),
        ("5 Nm", "is the unit of a torque"),
        ("-5 mm", "cannot be below zero"),
        ("same", "There is no figure in it"),
        ("12\u200b5", "invisible character"),
        ("1" * 400, "longer than 40 characters"),
        ("=1+1", "does not start with a figure"),
        ("٣٣٦", "Use the digits 0 to 9"),
        ("<script>alert(1)</script>", "does not start with a figure"),
    ],
)
def test_what_cannot_be_read_is_refused_beside_its_field_and_stays_typed(bo, work, tie_rod, typed, sentence):
    answer = measure(bo, tie_rod, typed)

    assert answer.status_code == 422
    assert sentence in answer.text
    assert 'aria-invalid="true"' in answer.text
    shown = typed.replace("<", "&lt;").replace(">", "&gt;")
    assert f'value="{shown}"' in answer.text
    assert captures(work, tie_rod) == []


def test_a_figure_hard_to_believe_wants_confirming_and_is_marked(bo, work, tie_rod):
    first = measure(bo, tie_rod, "32070 mm")
    assert first.status_code == 422
    assert 'name="confirmed"' in first.text
    assert captures(work, tie_rod) == []

    assert measure(bo, tie_rod, "32070 mm", confirmed="yes").status_code == 303
    assert captures(work, tie_rod)[0].confirmed


@pytest.fixture
def intake_again(clock, people, work):
    """The intake of the same car's next visit. It left after 61200 miles, when nobody could read them."""
    bo = people["Bo Berg"]
    road_test = next(step for step in work.steps() if step.operation == "road-test")
    with work.store.writing() as db:
        job = db.get_one(Job, work.job_id)
        front_end = work.front_ends[job.front_end]
        wanted = next(one for one in front_end.operation("road-test").up.captures if one.id == "odometer")
        miss_at(db, road_test, wanted, Hand(bo, clock(), "gap-0001"), place="car", reason="battery off")
        job.released_at = clock()
        car = db.get_one(Vehicle, job.vehicle_id)
        again = open_job(
            db, car, bay=None, scopes=["shocks"], sides="both", front_end=front_end, by=bo, now=clock()
        )
        return db.exec(select(Step).where(Step.job_id == again.id, Step.operation == "intake")).one()


@pytest.mark.parametrize(("typed", "doubtful"), [("61199", True), ("61200", False), ("61300 mi", False)])
def test_an_odometer_lower_than_at_the_cars_last_visit_wants_confirming(
    bo, work, intake_again, typed, doubtful
):
    form = {"key": "odometer", "place": "car"}

    answer = measure(bo, intake_again, typed, **form)

    assert answer.status_code == (422 if doubtful else 303)
    if doubtful:
        assert "is less than when the car was last here. Confirm it if it is right." in answer.text
        assert f'value="{typed}"' in answer.text
        assert measure(bo, intake_again, typed, confirmed="yes", **form).status_code == 303
    [kept] = captures(work, intake_again)
    assert kept.confirmed is doubtful


def test_an_odometer_with_a_letter_in_it_is_refused(bo, intake_again):
    answer = measure(bo, intake_again, "12O456", key="odometer", place="car")

    assert answer.status_code == 422
    assert 'name="confirmed"' not in answer.text


def test_an_odometer_is_held_against_no_other_car(app, clock, bo, people, work):
    other = open_work(app, people, clock, scopes=["shocks"], plate="CD 34")

    assert measure(bo, other.steps()[0], "12", key="odometer", place="car").status_code == 303


def test_the_same_sending_ten_times_at_once_is_recorded_once(app, bo, work, tie_rod):
    def send(_number):
        phone = Phone(app, address="192.168.7.22")
        phone.keep(session=bo.cookies[cookie.SESSION], device=bo.cookies[cookie.PHONE], form_key=bo.form_key)
        return measure(phone, tie_rod, "12 5/8", client_id="phone-made-id-0001").status_code

    with ThreadPoolExecutor(5) as threads:
        answers = list(threads.map(send, range(10)))

    assert answers == [303] * 10
    assert len(captures(work, tie_rod)) == 1


def test_the_same_sending_twice_is_recorded_once(bo, work, tie_rod):
    for _ in range(2):
        answer = measure(bo, tie_rod, "12 5/8", client_id="phone-made-id-0001")
        assert answer.status_code == 303

    assert len(captures(work, tie_rod)) == 1


def test_the_same_id_with_another_figure_is_refused(bo, work, tie_rod):
    measure(bo, tie_rod, "12 5/8", client_id="phone-made-id-0001")

    assert measure(bo, tie_rod, "12 3/4", client_id="phone-made-id-0001").status_code == 409
    assert [one.text for one in captures(work, tie_rod)] == ["12 5/8"]


def test_a_correction_supersedes_and_the_old_figure_stays_readable(bo, work, tie_rod):
    measure(bo, tie_rod, "12 5/8")
    [first] = captures(work, tie_rod)

    answer = measure(bo, tie_rod, "12 3/4", supersedes=str(first.id), reason="read off the wrong edge")

    assert answer.status_code == 303
    page = bo.get(f"/steps/{tie_rod.id}").text
    assert "<s>12 5/8</s>" in page
    assert "read off the wrong edge" in page


@pytest.mark.parametrize(("reason", "status"), [("", 422), ("wrong edge", 409)])
def test_a_correction_without_reason_or_of_a_corrected_figure_is_refused(bo, work, tie_rod, reason, status):
    measure(bo, tie_rod, "12 5/8")
    first = captures(work, tie_rod)[0]
    measure(bo, tie_rod, "12 3/4", supersedes=str(first.id), reason="wrong edge")

    assert measure(bo, tie_rod, "13", supersedes=str(first.id), reason=reason).status_code == status
    assert len(captures(work, tie_rod)) == 2


@pytest.mark.parametrize("named", ["itself", "999999", "0", "-1", "1e3", "x", "١"])
def test_a_correction_of_itself_or_of_nothing_is_refused(bo, work, tie_rod, named):
    with work.store.reading() as db:
        itself = max(db.exec(select(Capture.id))) + 1

    answer = measure(
        bo, tie_rod, "12 3/4", supersedes=str(itself) if named == "itself" else named, reason="slip"
    )

    assert answer.status_code == 422
    assert "There is no such capture to correct. Load the page again." in answer.text
    assert captures(work, tie_rod) == []


@pytest.mark.parametrize("headers", [{}, PARTIAL])
def test_a_correction_without_a_reason_says_so_beside_it_and_keeps_the_figure(bo, work, tie_rod, headers):
    measure(bo, tie_rod, "12 5/8")
    [first] = captures(work, tie_rod)

    answer = measure(bo, tie_rod, "12 3/4", supersedes=str(first.id), reason=" ", headers=headers)

    assert answer.status_code == 422
    assert "Say why it is corrected." in answer.text
    assert wrong_field(answer) == "reason-tie-rod-length-LF"
    assert 'value="12 3/4"' in answer.text
    assert captures(work, tie_rod) == [first]


def test_a_gap_is_filled_in_later_and_stays_readable(bo, work, tie_rod):
    bo.fill_in(f"/steps/{tie_rod.id}/gaps", key="tie-rod.length", place="LF", text="no rule to hand")
    [gap] = captures(work, tie_rod)

    answer = measure(bo, tie_rod, "12 5/8", supersedes=str(gap.id), reason="rule found")

    assert answer.status_code == 303
    assert "<s>no rule to hand</s>" in bo.get(f"/steps/{tie_rod.id}").text


def test_a_correction_of_another_steps_figure_is_refused(bo, work, tie_rod):
    with work.store.reading() as db:
        other = db.exec(select(Capture).where(Capture.step_id != tie_rod.id)).first()

    answer = measure(bo, tie_rod, "12 3/4", supersedes=str(other.id), reason="mixed up")

    assert answer.status_code == 422
    assert captures(work, tie_rod) == []


def test_what_a_step_does_not_ask_for_is_refused(bo, work, tie_rod):
    for form in ({"key": "camber"}, {"place": "RF"}, {"key": "tie-rod.photo"}):
        answer = measure(bo, tie_rod, "12", **form)
        assert answer.status_code == 404
        assert "This step does not ask for that. Load the page again." in answer.text
    assert captures(work, tie_rod) == []


def test_a_gap_needs_a_reason(bo, work, tie_rod):
    path, form = f"/steps/{tie_rod.id}/gaps", {"key": "tie-rod.length", "place": "LF"}

    assert bo.fill_in(path, text=" ", **form).status_code == 422
    assert bo.fill_in(path, text="sleeve rusted through", **form).status_code == 303
    assert captures(work, tie_rod)[0].kind == "missing"


@pytest.mark.parametrize("headers", [{}, PARTIAL])
def test_an_apprentice_cannot_wave_away_what_is_needed(dee, work, tie_rod, headers):
    form = {"key": "tie-rod.length", "place": "LF", "text": "no rule to hand"}

    answer = dee.fill_in(f"/steps/{tie_rod.id}/gaps", headers=headers, **form)

    assert answer.status_code == 403
    assert "A technician or a foreman says that this cannot be taken." in answer.text
    assert wrong_field(answer) == "gap-tie-rod-length-LF"
    assert 'value="no rule to hand"' in answer.text
    assert captures(work, tie_rod) == []


def test_several_photos_are_stored_and_shown_to_those_signed_in_only(bo, phone, work, tie_rod):
    files = [("photo", (f"{n}.jpg", grey_picture(), "image/jpeg")) for n in range(2)]
    answer = bo.fill_in(f"/steps/{tie_rod.id}/photos", files=files, key="tie-rod.photo", place="LF")

    assert answer.status_code == 303
    kept = captures(work, tie_rod)
    assert [one.kind for one in kept] == ["photo", "photo"]
    path = f"/photos/{kept[0].photo_digest}/display"
    assert bo.get(path).headers["content-type"] == "image/jpeg"
    assert bo.get(path).headers["cache-control"].startswith("private")
    assert phone.get(path).status_code in (303, 401)


@pytest.mark.parametrize("body", [b"", b"\xff\xd8\xff", b"<svg onload=alert(1)>", b"GIF89a" + b"0" * 50])
def test_what_is_no_picture_is_refused_in_words(bo, work, tie_rod, body):
    files = [("photo", ("../../etc/passwd", body, "image/jpeg"))]
    answer = bo.fill_in(f"/steps/{tie_rod.id}/photos", files=files, key="tie-rod.photo", place="LF")

    assert answer.status_code == 422
    assert "field__error" in answer.text or "refused" in answer.text
    assert captures(work, tie_rod) == []


@pytest.mark.parametrize("headers", [{}, PARTIAL])
@pytest.mark.parametrize(
    ("act", "form", "field", "sentence"),
    [
        (
            "gaps",
            {"key": "tie-rod.length", "place": "LF", "text": " "},
            "gap-tie-rod-length-LF",
            "Say why it could",
        ),
        ("notes", {"text": "\n"}, "note-free", "Write a few words first."),
        ("notes", {"text": "x" * 2001}, "note-free", "Keep it under 2000 characters; this has 2001."),
        ("photos", {"key": "tie-rod.photo", "place": "LF"}, "photo-tie-rod-photo-LF", "Take a photo first."),
        ("photos", {}, "photo-free", "Take a photo first."),
    ],
)
def test_what_is_empty_or_too_long_is_said_beside_its_field(
    bo, work, tie_rod, headers, act, form, field, sentence
):
    answer = bo.fill_in(
        f"/steps/{tie_rod.id}/{act}", headers=headers, files=[] if act == "photos" else None, **form
    )

    assert answer.status_code == 422
    assert sentence in answer.text
    assert wrong_field(answer) == field
    assert form.get("text", "").strip() in answer.text
    assert ("<html" in answer.text) is not bool(headers)
    assert captures(work, tie_rod) == []
    assert next(step for step in work.steps() if step.id == tie_rod.id).state == "to do"


@pytest.mark.parametrize(
    ("act", "form"),
    [
        ("notes", {"key": "tie-rod.length", "place": "LF", "text": "about a foot"}),
        ("notes", {"key": "tyre.size", "place": "car", "text": "7.75-14"}),
        ("gaps", {"key": "tyre.size", "place": "car", "text": "gone"}),
        ("photos", {"key": "tie-rod.length", "place": "LF"}),
        ("photos", {"key": "tie-rod.photo", "place": "RF"}),
        (
            "marks",
            {"key": "camber", "place": "LF", "photo": "1", "text": "punch", "tap.x": "1", "tap.y": "1"},
        ),
    ],
)
def test_what_a_step_does_not_ask_for_is_taken_in_no_form(bo, work, tie_rod, act, form):
    files = [("photo", ("a.jpg", grey_picture(), "image/jpeg"))] if act == "photos" else None

    answer = bo.fill_in(f"/steps/{tie_rod.id}/{act}", files=files, **form)

    assert answer.status_code == 404
    assert "This step does not ask for that. Load the page again." in answer.text
    assert captures(work, tie_rod) == []


def test_what_nobody_asked_for_belongs_to_the_place_of_its_step(bo, work, tie_rod):
    bo.fill_in(f"/steps/{tie_rod.id}/notes", text="boot torn", place="elsewhere")
    files = [("photo", ("a.jpg", grey_picture(), "image/jpeg"))]
    bo.fill_in(f"/steps/{tie_rod.id}/photos", files=files, place="elsewhere")

    assert [(one.key, one.place) for one in captures(work, tie_rod)] == [("", "LF"), ("", "LF")]
    assert bo.get(f"/steps/{tie_rod.id}").status_code == 200


def test_a_photo_that_could_not_be_shown_any_higher_than_a_line_can_be_marked(bo, work, tie_rod):
    line = BytesIO()
    Image.new("RGB", (3000, 2), "grey").save(line, "JPEG")
    bo.fill_in(f"/steps/{tie_rod.id}/photos", files=[("photo", ("a.jpg", line.getvalue(), "image/jpeg"))])
    [photo] = captures(work, tie_rod)

    answer = bo.fill_in(
        f"/steps/{tie_rod.id}/marks",
        photo=str(photo.id),
        text="scribe line",
        **{"tap.x": "140", "tap.y": "0"},
    )

    assert answer.status_code == 303
    assert captures(work, tie_rod)[1].x == 0.5


@pytest.mark.parametrize("photo", ["", "0", "999999", "x", "of another step"])
def test_a_mark_without_its_photo_is_refused(bo, work, tie_rod, photo):
    with work.store.reading() as db:
        other = db.exec(select(Capture).where(Capture.kind == "photo")).first()
    form = {"photo": str(other.id) if photo == "of another step" else photo, "text": "punch"}

    answer = bo.fill_in(f"/steps/{tie_rod.id}/marks", **form, **{"tap.x": "1", "tap.y": "1"})

    assert answer.status_code == 422
    assert "A mark goes on a photo of this step: take one first." in answer.text
    assert captures(work, tie_rod) == []


@pytest.mark.parametrize("headers", [{}, PARTIAL])
def test_a_mark_without_words_is_said_beside_its_field(bo, work, tie_rod, headers):
    files = [("photo", ("a.jpg", grey_picture(), "image/jpeg"))]
    bo.fill_in(f"/steps/{tie_rod.id}/photos", files=files, key="tie-rod.clamps", place="LF")
    [photo] = captures(work, tie_rod)
    form = {"key": "tie-rod.clamps", "place": "LF", "photo": str(photo.id), "text": " "}

    answer = bo.fill_in(f"/steps/{tie_rod.id}/marks", headers=headers, **form, **{"tap.x": "1", "tap.y": "1"})

    assert answer.status_code == 422
    assert "Say what was marked, and with what." in answer.text
    assert wrong_field(answer) == f"mark-{photo.id}"
    assert len(captures(work, tie_rod)) == 1


def test_nobody_of_the_shop_next_door_captures_anything(app, clock, work, tie_rod):
    fay = phone_next_door(app, clock)
    form = {"key": "tie-rod.length", "place": "LF", "text": "12 5/8"}
    files = [("photo", ("a.jpg", grey_picture(), "image/jpeg"))]

    for answer in (
        measure(fay, tie_rod, "12 5/8"),
        fay.fill_in(f"/steps/{tie_rod.id}/gaps", **form),
        fay.fill_in(f"/steps/{tie_rod.id}/photos", files=files),
        fay.fill_in(f"/steps/{tie_rod.id}/photos", files=[("photo", ("a.jpg", b"no picture", "image/jpeg"))]),
        fay.fill_in(f"/steps/{tie_rod.id}/marks", photo="5", text="punch", **{"tap.x": "1", "tap.y": "1"}),
    ):
        assert answer.status_code == 404
    assert captures(work, tie_rod) == []


def test_a_mark_is_put_where_the_photo_was_tapped(bo, work, tie_rod):
    files = [("photo", ("a.jpg", grey_picture(), "image/jpeg"))]
    bo.fill_in(f"/steps/{tie_rod.id}/photos", files=files, key="tie-rod.clamps", place="LF")
    [photo] = captures(work, tie_rod)

    answer = bo.fill_in(
        f"/steps/{tie_rod.id}/marks",
        key="tie-rod.clamps",
        place="LF",
        photo=str(photo.id),
        text="clamp bolts, centre punch",
        **{"tap.x": "140", "tap.y": "105"},
    )

    assert answer.status_code == 303
    mark = captures(work, tie_rod)[1]
    assert (mark.kind, mark.x, mark.y) == ("mark", 0.5, 0.5)
    assert "clamp bolts, centre punch" in bo.get(f"/steps/{tie_rod.id}").text


@pytest.mark.parametrize("tap", ["", "0", "nan", "1e5", "-3", "9" * 12])
def test_a_mark_beside_the_photo_is_refused(bo, work, tie_rod, tap):
    files = [("photo", ("a.jpg", grey_picture(), "image/jpeg"))]
    bo.fill_in(f"/steps/{tie_rod.id}/photos", files=files, key="tie-rod.clamps", place="LF")
    [photo] = captures(work, tie_rod)

    answer = bo.fill_in(
        f"/steps/{tie_rod.id}/marks",
        key="tie-rod.clamps",
        place="LF",
        photo=str(photo.id),
        text="clamp bolts",
        **{"tap.x": tap, "tap.y": "0" if tap == "0" else "20"},
    )

    assert answer.status_code == 422
    assert len(captures(work, tie_rod)) == 1


def test_a_note_is_shown_as_text_whatever_is_in_it(bo, work, tie_rod):
    bo.fill_in(f"/steps/{tie_rod.id}/notes", text="<img src=x onerror=alert(1)> {{7*7}}")

    page = bo.get(f"/steps/{tie_rod.id}").text
    assert "&lt;img src=x onerror=alert(1)&gt; {{7*7}}" in page
    assert "<img src=x" not in page
