from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlmodel import select

from server.store.engine import Store
from server.store.tables import Capture, Step
from tests.shop.conftest import grey_picture
from tests.web.work import ShopAtStep, copied, people_in, the_work


@pytest.fixture(scope="module")
def prepared(shop_at_step: ShopAtStep) -> Path:
    return shop_at_step(["tie-rods"], "tie-rod")


@pytest.fixture
def store(prepared: Path, tmp_path: Path) -> Iterator[Store]:
    yield from copied(prepared, tmp_path)


@pytest.fixture
def people(store):
    return people_in(store)


@pytest.fixture
def work(app, clock):
    return the_work(app, clock)


@pytest.fixture
def tie_rod(work):
    return next(step for step in work.steps() if step.operation == "tie-rod")


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


def test_a_correction_of_another_steps_figure_is_refused(bo, work, tie_rod):
    with work.store.reading() as db:
        other = db.exec(select(Capture).where(Capture.step_id != tie_rod.id)).first()

    answer = measure(bo, tie_rod, "12 3/4", supersedes=str(other.id), reason="mixed up")

    assert answer.status_code == 422
    assert captures(work, tie_rod) == []


def test_what_a_step_does_not_ask_for_is_refused(bo, work, tie_rod):
    assert measure(bo, tie_rod, "12", key="camber").status_code == 422
    assert measure(bo, tie_rod, "12", place="RF").status_code == 422
    assert captures(work, tie_rod) == []


def test_a_gap_needs_a_reason(bo, work, tie_rod):
    path, form = f"/steps/{tie_rod.id}/gaps", {"key": "tie-rod.length", "place": "LF"}

    assert bo.fill_in(path, text=" ", **form).status_code == 422
    assert bo.fill_in(path, text="sleeve rusted through", **form).status_code == 303
    assert captures(work, tie_rod)[0].kind == "missing"


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
