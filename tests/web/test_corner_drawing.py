"""The drawing and the plots on the pages, once the car's geometry is known."""

import gzip
import re

import pytest
from sqlmodel import select

from server.compute.layout import ShaftAt, Steer, short
from server.shop.target import refresh
from server.store.tables import Capture, Job, Spec, Step
from server.web.corner_drawing import draw
from tests.shop.bench_top import evidence

WORDS = {"corner.steer": "behind", "corner.shaft-at": "inboard"}
MOST_COMPRESSED_BYTES = 50_000


@pytest.fixture(scope="module")
def prepared(shop_at_step):
    return shop_at_step(["upper-arms"], "upper-arm")


def know(store, people, **more):
    """Write the corner's geometry, the two words and what else is given."""
    ann = people["Ann Adler"]
    rows = {key: (text, "", 0.0, 0.0) for key, text in WORDS.items()} | more
    with store.writing() as db:
        for key, (text, quantity, low, high) in rows.items():
            db.add(
                Spec(
                    client_id=f"geometry-{key:>20}",
                    vehicle_id=1,
                    key=key,
                    text=text,
                    quantity=quantity,
                    low=low,
                    high=high,
                    source="Under the car",
                    person_id=ann.id,
                    at=ann.created_at,
                )
            )


def page_of(phone, store, operation, direction="down", place="LF"):
    where = Step.operation == operation, Step.direction == direction, Step.place == place
    with store.reading() as db:
        step = db.exec(select(Step).where(*where)).one()
    return phone.get(f"/steps/{step.id}").text


def test_without_geometry_the_drawing_says_that_it_is_not_to_scale(bo, store, people):
    text = page_of(bo, store, "shims")

    assert "Left front corner, not to scale" in text
    assert "drawing--to-scale" not in text


@pytest.mark.parametrize(("place", "title"), [("LF", "Left"), ("RF", "Right")])
def test_with_geometry_it_is_to_scale_with_the_figures_that_were_taken(bo, store, people, place, title):
    know(store, people)

    text = page_of(bo, store, "shims", place=place)

    assert f"{title} front corner, to scale" in text
    assert "Tie rod 12 5/8 in. " in text
    assert "Spring ≈ 10 in. " in text
    assert "not to scale</title>" not in text


def test_a_pack_is_drawn_once_it_was_measured(bo, store, people):
    know(store, people)

    left, right = (page_of(bo, store, "shims", place=place) for place in ("LF", "RF"))

    assert "Pack front 5/32 in. Pack rear 3/16 in. " in left
    assert "Pack front" not in right


def test_what_nobody_measured_is_said_to_be_guessed(bo, store, people):
    know(store, people, **{"corner.upper-arm": ("9 in", "length", 0.228, 0.229)})

    said = "Guessed, not measured: 23 of the corner&#39;s 24 lengths. Joints are to scale;"
    assert said in page_of(bo, store, "shims")


def test_what_is_off_is_a_ghost_and_what_is_at_work_is_not(bo, store, people):
    know(store, people)

    text = page_of(bo, store, "upper-arm")

    assert 'class="part is-in-hand" data-part="upper-arm"' in text
    assert 'class="part is-off" data-part="wheel"' in text


def test_the_fasteners_of_the_step_are_numbered_on_it(bo, store, people):
    know(store, people)

    text = page_of(bo, store, "wheel-nuts")

    assert re.findall(r'data-fastener="wheel-nut".*?<text[^>]*>(\d)<', text) == list("12345")


def test_a_step_at_both_corners_shows_the_left_one(bo, store, people):
    know(store, people)

    text = page_of(bo, store, "intake", place="car")

    assert "Left front corner, to scale" in text


def test_the_step_s_page_stays_light_on_the_wire(bo, store, people):
    know(store, people)

    for operation in ("shims", "wheel-nuts", "upper-arm"):
        assert len(gzip.compress(page_of(bo, store, operation).encode())) < MOST_COMPRESSED_BYTES


def test_the_targets_page_plots_each_corner_that_is_known(app, bo, store, people, clock):
    assert 'class="curves"' not in bo.get("/jobs/1/targets").text
    know(store, people)
    with store.writing() as db:
        job = db.get_one(Job, 1)
        refresh(db, job, app.state.front_ends[job.front_end], now=clock())

    text = bo.get("/jobs/1/targets").text

    assert text.count('class="curves"') == 2
    assert "At today's ride height: toe as found 0.14°" in text
    assert "Nobody read camber or caster as found, so there is no curve for it." in text


def test_the_targets_page_stands_figures_against_their_bands(app, bo, store, people, clock):
    assert 'class="bands"' not in bo.get("/jobs/1/targets").text
    know(store, people, camber=("-0.5° ± 0.5°", "angle", -0.017453, 0.0))
    with store.writing() as db:
        job = db.get_one(Job, 1)
        refresh(db, job, app.state.front_ends[job.front_end], now=clock())

    text = bo.get("/jobs/1/targets").text

    assert "Camber: band -1° to 0°, target -0.5°." in text


def test_the_hooks_are_drawn_where_the_marks_say(bo, store, people):
    with store.writing() as db:
        step = db.exec(select(Step).where(Step.operation == "spring", Step.place == "LF")).first()
        for number, text in enumerate(("Upper hook: coil 2, 3 o'clock", "Lower hook: coil 6, 3 o'clock")):
            db.add(
                Capture(
                    client_id=f"hook-on-its-coil-{number:09d}",
                    job_id=1,
                    step_id=step.id,
                    key="spring.hooks",
                    place="LF",
                    kind="mark",
                    text=text,
                    read_as=text,
                    x=0.5,
                    y=0.5,
                    person_id=people["Bo Berg"].id,
                    at=people["Bo Berg"].created_at,
                )
            )

    text = page_of(bo, store, "spring", "up")

    assert "Where the hooks sat" in text
    assert "4 coils between them." in text
    assert "Where the hooks sat" not in page_of(bo, store, "spring", "up", place="RF")
    assert "Where the hooks sat" not in page_of(bo, store, "shims")


def test_a_swept_caster_leans_the_steering_axis_as_one_that_a_gauge_shows():
    """2° out, −0.1° in, 20° each way: caster 2.1/(2·sin 20°) = 3.07° (SAE 850219)."""
    swept = {("camber.turned-out", "LF"): "2", ("camber.turned-in", "LF"): "-0.1"}
    layout = short({}, Steer.BEHIND)

    by_sweep, by_gauge, by_nobody = (
        draw(layout, ShaftAt.INBOARD, evidence(down=taken), "LF", system="inch").parts["upper-arm"]
        for taken in (swept, {("caster", "LF"): "3.07"}, {})
    )

    assert by_sweep == by_gauge
    assert by_sweep != by_nobody
