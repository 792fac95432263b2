"""Released last week: new upper bushings and tie rods, two entries corrected on the way."""

from dataclasses import replace

from seed_demo.car import INCH_TORQUES, Car
from seed_demo.corner import TAPED_in
from seed_demo.people import Crew
from seed_demo.stage import Stage, Visit, at
from seed_demo.story import Story, Verdict
from seed_demo.walk import Walk
from server.shop.release import release
from server.store.tables import Job

AGO_min = 3.4 * 8.75 * 60  # of working time: three and a half days
MISREAD, READ = "12 5/16 in", "12 15/16 in"
TOED_OUT = {"toe.tape-front": "59 13/32 in", "toe.tape-rear": "59 11/32 in"}  # before the sleeves were turned
SLEEVES_min = 20.0

CAR = Car(
    make="Pelverdine",
    model="Marl 20",
    year="1969",
    plate="NW 8-266",
    drive="LHD",
    system="inch",
    paint=(70, 88, 128),
    sheet=INCH_TORQUES
    | TAPED_in
    | {
        "camber": "0.25° ± 0.5°",
        "caster": "2° ± 0.5°",
        "toe.total": "1/16 to 3/16 in toe-in",
        "toe.diameter": "26 1/2 in",
        "ride-height": "14 1/4 in ± 3/8 in",
        "tie-rod.pitch": "1.411 mm",
        "tie-rod.thread": "11/16 in",
        "spring.rate": "330 lbf/in",
        "spring.free-length": "15 1/2 in",
        "spring.solid-length": "7 3/8 in",
        "compressor.rating": "2600 lbf",
    },
    generic={},
)
STORY = Story(
    figures={
        ("odometer", ""): "84320 mi",
        ("odometer@after", "car"): "84327 mi",
        ("tyre.pressure", ""): "28 psi",
        ("ride-height", "LF"): "14 1/16 in",
        ("ride-height", "RF"): "14 3/16 in",
        ("ride-height.frame", "LF"): "7 13/16 in",
        ("ride-height.frame", "RF"): "7 15/16 in",
        ("ride-height@after", "LF"): "14 3/16 in",
        ("ride-height@after", "RF"): "14 5/16 in",
        ("ride-height.frame@after", "LF"): "7 15/16 in",
        ("ride-height.frame@after", "RF"): "8 1/16 in",
        ("toe.tape-front", ""): "59 11/32 in",
        ("toe.tape-rear", ""): "59 9/32 in",
        ("toe.tape-diameter", ""): "26 1/2 in",
        ("toe.tape-front@after", "car"): "59 9/32 in",
        ("toe.tape-rear@after", "car"): "59 13/32 in",
        ("camber", "LF"): "-0.7°",
        ("camber", "RF"): "-0.3°",
        ("camber@after", "LF"): "0.3°",
        ("camber@after", "RF"): "0.5°",
        ("caster@after", "LF"): "2.0°",
        ("caster@after", "RF"): "2.2°",
        ("camber.turned-out@after", "LF"): "0.9°",
        ("camber.turned-in@after", "LF"): "-0.5°",
        ("camber.turned-out@after", "RF"): "1.2°",
        ("camber.turned-in@after", "RF"): "-0.3°",
        ("tie-rod.length", "LF"): "12 15/16 in",
        ("tie-rod.length", "RF"): "12 13/16 in",
        ("tie-rod.threads-inner", ""): "9",
        ("tie-rod.threads-outer", ""): "9",
        ("tie-rod.threads-inner@bench", ""): "10",
        ("tie-rod.threads-outer@bench", ""): "10",
        ("tie-rod.lies-at", "LF"): "12 11/16 in",
        ("tie-rod.lies-at", "RF"): "12 9/16 in",
        ("tie-rod.thread-length", "LF"): "2 3/16 in",
        ("tie-rod.thread-length", "RF"): "2 3/16 in",
        ("tie-rod.right-hand", "LF"): "Outer end",
        ("tie-rod.right-hand", "RF"): "Outer end",
        ("spring.compressed-length", "LF"): "10 13/16 in",
        ("spring.compressed-length", "RF"): "10 15/16 in",
        ("spring.free-length", "LF"): "15 7/16 in",
        ("spring.free-length", "RF"): "15 7/16 in",
        ("disc.thickness", "LF"): "0.98 in",
        ("disc.thickness", "RF"): "0.97 in",
        ("disc.run-out", "LF"): "0.002 in",
        ("disc.run-out", "RF"): "0.003 in",
        ("pack.front", "LF"): "0.156 in",
        ("pack.rear", "LF"): "0.188 in",
        ("pack.front", "RF"): "0.125 in",
        ("pack.rear", "RF"): "0.219 in",
    },
    words={
        "tyre.size": "7.00-14",
        "compressor.used": "Two-hook compressor no. 2, plate says 2600 lbf",
        "tie-rod.right-hand": "Outer end",
        "road-test.note": "Runs straight, wheel straight, no noise. No leaks afterwards.",
        "release.note": "Camber and caster are fit for the drive to the rack. Have all three set there.",
    },
    verdicts={
        ("link", ""): Verdict("renew", "rubbers split", "inspect.photo"),
        ("tie-rod", ""): Verdict("renew", "both joints have play", "inspect.photo"),
        ("caliper", ""): Verdict("reuse", "slides freely, boots whole"),
        ("shock", ""): Verdict("reuse", "dry, even resistance both ways"),
        ("knuckle", ""): Verdict("reuse", "tapers clean, disc true", "disc.run-out"),
        ("spring", ""): Verdict("reuse", "within 1/16 in of new", "spring.free-length"),
        ("studs", ""): Verdict("reuse", "splines sharp, thread whole"),
        ("upper-arm", ""): Verdict("repair", "new bushings pressed in, arm straight", "inspect.photo"),
    },
    shelves={"LF": "Rack 1, shelf A", "RF": "Rack 1, shelf B"},
)


def _align(walk: Walk, crew: Crew) -> None:
    """Toe read, both sleeves turned, and toe read again."""
    step = walk.until(at("pre-alignment", "car", "after"), by=crew.joss, second=crew.teo)
    walk.start(step, by=crew.joss, confirmer=crew.teo)
    out = {(key, "car"): text for key, text in TOED_OUT.items()}
    before = {(f"{key}@after", place): text for (key, place), text in out.items()}
    walk.story = replace(STORY, figures={**STORY.figures, **before})
    walk.take(step, by=crew.joss)
    walk.story = STORY
    walk.pass_time(SLEEVES_min)
    with walk.at(step, by=crew.joss) as here:
        for key in TOED_OUT:
            here.correct(key, "car", STORY.figures[f"{key}@after", "car"], reason="Sleeves turned")
    walk.tighten(step, by=crew.joss, second=crew.teo)
    walk.finish(step, by=crew.joss, confirmer=crew.teo)


def tell(stage: Stage) -> None:
    """The whole job, with a length misread and put right, a torque pulled again, and toe set in two goes."""
    crew = stage.crew
    visit = Visit(CAR, ("upper-arms", "tie-rods"), crew.bays[0], STORY)
    ended = stage.hours.before(stage.now, AGO_min)
    begun = stage.hours.before(ended, stage.minutes_until(visit, at("release", "car", "after")))
    walk, album = stage.open(visit, begun)
    album.renewed = frozenset({"tie-rod"})

    rod = walk.until(at("tie-rod", "LF"), by=crew.edda, second=crew.joss)
    walk.story = replace(STORY, figures={**STORY.figures, ("tie-rod.length", "LF"): MISREAD})
    walk.do(rod, by=crew.edda, second=crew.joss)
    walk.story = STORY
    with walk.at(rod, by=crew.edda) as here:
        here.correct("tie-rod.length", "LF", READ, reason="read 5 for 15; the photo shows it")
    walk.until(lambda step: step.direction == "bench", by=crew.edda, second=crew.joss)

    album.going = "bench"
    walk.until(lambda step: step.direction == "up", by=crew.edda, second=crew.joss)
    album.going = "up"
    shims = walk.until(at("shims", "RF", "up"), by=crew.joss, second=crew.teo)
    walk.do(shims, by=crew.joss, second=crew.teo)
    with walk.at(shims, by=crew.joss) as here:
        here.pull_again("upper-arm-nut", "74 lbf·ft", reason="the wrench stood at 74", second=crew.teo)
    album.going = "after"
    _align(walk, crew)
    last = walk.until(at("release", "car", "after"), by=crew.joss, second=crew.teo)

    walk.discard_renewed(by=crew.joss)
    with walk.at(last, by=crew.maren) as here:
        here.start(confirmer=crew.maren)
        for wanted in here.rung.move.captures:
            here.capture(wanted, "car")
    with stage.store.writing() as db:
        release(db, db.get_one(Job, walk.job_id), stage.front_ends, by=crew.maren, now=walk.now)
