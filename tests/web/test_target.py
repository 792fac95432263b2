import re

import pytest
from sqlmodel import select

from server.shop.comparison import Compared
from server.shop.target import refresh
from server.store.tables import Capture, Job, Spec, Step, Target
from server.web.target import plot
from tests.web.next_door import phone_next_door


@pytest.fixture(scope="module")
def prepared(shop_at_step):
    return shop_at_step(["tie-rods"], "inspect", "bench")


def figure(text, label):
    """What the page shows of one figure, with its whys."""
    articles = re.findall(r'<article class="target">.*?</article>', text, re.DOTALL)
    return next(article for article in articles if f'aria-label="{label}"' in article)


def column(article, name):
    cell = re.search(rf"<dt>{name}</dt>(.*?)</div>", article, re.DOTALL)[1]
    return " ".join(re.sub("<[^>]+>", " ", cell).split())


def write_spec(store, people, key, text, low, high, quantity):
    with store.writing() as db:
        db.add(
            Spec(
                client_id=f"spec-of-{key:>20}",
                vehicle_id=1,
                key=key,
                text=text,
                quantity=quantity,
                low=low,
                high=high,
                source="<b>Maker's</b> manual p. 3-14",
                person_id=people["Ann Adler"].id,
                at=people["Ann Adler"].created_at,
            )
        )


def work_out(app, store, clock):
    with store.writing() as db:
        job = db.get_one(Job, 1)
        refresh(db, job, app.state.front_ends[job.front_end], now=clock())


def step(store, operation, direction, place="LF"):
    where = Step.operation == operation, Step.direction == direction, Step.place == place
    with store.reading() as db:
        return db.exec(select(Step).where(*where)).one()


def test_a_figure_stands_in_its_three_columns_each_with_its_uncertainty(bo, store, people):
    rod = figure(bo.get("/jobs/1/targets").text, "Tie rod between stud centres · LF")

    assert column(rod, "As found") == "12 5/8 in ± 0.03 in 320.7 mm"
    assert column(rod, "Target") == "12 5/8 in ± 0.03 in 320.7 mm"
    assert column(rod, "As left") == "open"


def test_why_opens_without_script_and_tells_input_formula_source_and_uncertainty(bo, store, people):
    rod = figure(bo.get("/jobs/1/targets").text, "Tie rod between stud centres · LF")
    why = re.search(r"<details.*?</details>", rod, re.DOTALL)[0]

    assert f'href="/steps/{step(store, "tie-rod", "down").id}"' in why
    for words in (
        "12 5/8 in = 320.675 mm",
        "length = old + change",
        "between stud centres, as found",
        "± 0.03 in",
    ):
        assert words in why


def test_the_link_to_a_targets_why_lands_inside_it(bo, store):
    with store.reading() as db:
        target = db.exec(select(Target).where(Target.key == "tie-rod.length", Target.place == "LF")).one()

    rod = figure(bo.get("/jobs/1/targets").text, "Tie rod between stud centres · LF")

    assert f'<div class="why" id="target-{target.id}">' in rod


def test_toe_tells_how_it_was_found(bo):
    toe = figure(bo.get("/jobs/1/targets").text, "Total toe, + is in")

    assert column(toe, "As found").startswith("1/8 in ±")
    assert "Why?" in toe
    assert "58 3/16 in" in toe
    assert "58 5/16 in" in toe
    assert "T = rear − front" in toe


def test_a_target_that_could_not_be_worked_out_says_what_is_missing_and_where_it_is_supplied(bo):
    camber = figure(bo.get("/jobs/1/targets").text, "Camber · RF")

    assert "The spec sheet says nothing of it." in camber
    assert 'href="/vehicles/1/spec?job=1">Spec sheet</a>' in camber


def test_a_target_that_changed_tells_what_it_was_before(app, bo, store, people, clock):
    write_spec(store, people, "camber", "0.5°", 0.0087, 0.0087, "angle")
    clock.pass_by(hours=1)
    work_out(app, store, clock)

    camber = figure(bo.get("/jobs/1/targets").text, "Camber · RF")

    assert column(camber, "Target") == "0.5°"
    assert "What it was before" in camber
    assert "The spec sheet says nothing of it." in camber
    assert "&lt;b&gt;Maker&#39;s&lt;/b&gt; manual p. 3-14" in camber
    assert "<b>Maker" not in camber


def test_as_left_off_its_target_is_said_in_words(app, bo, store, people, clock):
    bench = step(store, "preset", "bench")
    with store.writing() as db:
        db.add(
            Capture(
                client_id="left-at-the-bench",
                job_id=1,
                step_id=bench.id,
                key="tie-rod.length",
                place="LF",
                kind="measurement",
                text="12 1/2 in",
                value=0.3175,
                uncertainty=0.0001,
                quantity="length",
                person_id=people["Bo Berg"].id,
                at=clock(),
            )
        )

    rod = figure(bo.get("/jobs/1/targets").text, "Tie rod between stud centres · LF")

    assert column(rod, "As left").startswith("12 1/2 in")
    assert "off its target by more than the ± of both" in rod


def test_the_torques_of_this_job_stand_with_window_and_source_and_no_others(bo):
    text = bo.get("/jobs/1/targets").text
    torques = text[text.index('id="torques"') :]

    assert "Outer tie-rod nut" in torques
    assert "Maker&#39;s manual p. 3-12" in torques
    assert "60 to 75 lbf·ft (81 to 102 N·m)" in torques
    assert "Bump stop nut" not in torques


def test_a_torque_missing_on_the_sheet_is_named(app, bo, store, clock):
    with store.writing() as db:
        line = db.exec(select(Spec).where(Spec.key == "torque.wheel-nut")).one()
        other = Job(**db.get_one(Job, 1).model_dump(exclude={"id", "vehicle_id"}), vehicle_id=line.vehicle_id)
        db.add(other)
        db.flush()
        said = {
            "key": "torque.wheel-nut",
            "place": "car",
            "says": "Wheel nut: the spec sheet has no torque for it.",
        }
        db.add(Target(job_id=other.id, at=clock(), **said))

    text = bo.get("/jobs/2/targets").text

    assert "Wheel nut: the spec sheet has no torque for it." in text
    assert 'href="/vehicles/1/spec?job=2"' in text


def test_before_anything_is_measured_the_page_says_where_targets_come_from(bo, store):
    with store.writing() as db:
        db.add(Job(**db.get_one(Job, 1).model_dump(exclude={"id"})))

    assert "Targets come by themselves" in bo.get("/jobs/2/targets").text


def test_live_hazards_stand_over_the_page(bo):
    assert "Car raised" in bo.get("/jobs/1/targets").text


def test_another_shops_targets_are_not_shown(app, clock, people):
    assert phone_next_door(app, clock).get("/jobs/1/targets").status_code == 404


def test_bars_are_drawn_in_one_unit_for_a_figure_with_a_band():
    target = Target(value=0.0087266, uncertainty=0.0087266, quantity="angle")
    found = Capture(value=0.0174533, quantity="angle")

    drawn = plot(Compared("camber", "LF", "Camber", found, target, None, ()), "inch")

    assert (drawn.unit, drawn.low, drawn.high, drawn.found, drawn.target, drawn.left) == (
        "°",
        0,
        1,
        1,
        0.5,
        None,
    )
    assert plot(Compared("pack.front", "LF", "Front pack", found, target, None, ()), "inch") is None


def change_a_target(app, store, people, clock):
    """The sheet gets a camber, after a figure-less target stood there."""
    write_spec(store, people, "camber", "0.5°", 0.0087, 0.0087, "angle")
    clock.pass_by(hours=1)
    work_out(app, store, clock)


def test_what_changed_since_somebody_last_looked_is_counted_and_marked_with_what_it_was(
    app, bo, store, people, clock
):
    assert "since you last saw" not in bo.get("/jobs/1/targets").text

    change_a_target(app, store, people, clock)

    text = bo.get("/jobs/1/targets").text
    assert "2 figures have changed since you last saw them." in text
    camber = figure(text, "Camber · RF")
    assert "Changed since you last saw it. It was: The spec sheet says nothing of it." in camber


def test_a_mark_goes_once_its_reader_says_so_and_stays_for_everybody_else(app, bo, cy, store, people, clock):
    change_a_target(app, store, people, clock)
    clock.pass_by(minutes=5)

    answer = bo.fill_in("/jobs/1/targets/looks")

    assert answer.status_code == 303
    assert "since you last saw" not in bo.get("/jobs/1/targets").text
    assert "since you last saw" in cy.get("/jobs/1/targets").text


def test_a_step_marks_the_changed_target_it_goes_by(app, bo, store, people, clock):
    bench = step(store, "preset", "bench")
    assert "Changed since you last saw it" not in bo.get(f"/steps/{bench.id}").text
    with store.writing() as db:
        rod = db.exec(select(Target).where(Target.key == "tie-rod.length", Target.place == "LF")).one()
        again = rod.model_dump(exclude={"id", "at", "supersedes_id", "says", "value"})
        db.add(Target(**again, value=0.3175, says="Set 12 1/2 in.", at=clock(), supersedes_id=rod.id))

    text = bo.get(f"/steps/{bench.id}").text
    assert f"Changed since you last saw it. It was: {rod.says}" in text


def test_looking_at_a_job_that_is_not_there_is_refused(bo):
    assert bo.fill_in("/jobs/99/targets/looks").status_code == 404
