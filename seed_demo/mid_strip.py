"""Bay 1: both front springs. The left one is out of its seats, held by the compressor, at this moment."""

from datetime import timedelta

from seed_demo.car import INCH_TORQUES, Car
from seed_demo.corner import GLIMPSED_in
from seed_demo.stage import Stage, Visit, at
from seed_demo.story import Story
from seed_demo.walk import straight_on

AGO_min = 40.0  # since the first turn of the compressor; nobody leaves it alone, whatever the hour
RATING = "2600 lbf"

CAR = Car(
    make="Hasterby",
    model="Whimbrel",
    year="1966",
    plate="AF 0-412",
    drive="LHD",
    system="inch",
    paint=(88, 116, 104),
    sheet=INCH_TORQUES
    | GLIMPSED_in
    | {
        "camber": "0.25° ± 0.5°",
        "caster": "1.5° ± 0.5°",
        "toe.total": "1/16 to 3/16 in toe-in",
        "toe.diameter": "25 1/2 in",
        "ride-height": "14 1/4 in ± 3/8 in",
        "tie-rod.pitch": "1.411 mm",
        "tie-rod.thread": "11/16 in",
        "spring.rate": "320 lbf/in",
        "spring.free-length": "16 1/4 in",
        "spring.solid-length": "7 3/4 in",
        "new-spring.rate": "330 lbf/in",
        "new-spring.free-length": "16 1/8 in",
        "compressor.rating": RATING,
    },
    generic={},
)
STORY = Story(
    figures={
        ("odometer", ""): "71480 mi",
        ("tyre.pressure", ""): "28 psi",
        ("ride-height", "LF"): "13 11/16 in",
        ("ride-height", "RF"): "13 15/16 in",
        ("ride-height.frame", "LF"): "7 7/16 in",
        ("ride-height.frame", "RF"): "7 11/16 in",
        ("toe.tape-front", ""): "57 21/32 in",
        ("toe.tape-rear", ""): "57 25/32 in",
        ("toe.tape-diameter", ""): "25 1/2 in",
        ("camber", "LF"): "-0.2°",
        ("camber", "RF"): "0.3°",
        ("tie-rod.length", "LF"): "12 11/16 in",
        ("tie-rod.length", "RF"): "12 9/16 in",
        ("tie-rod.threads-inner", ""): "8",
        ("tie-rod.threads-outer", "LF"): "9",
        ("tie-rod.threads-outer", "RF"): "8",
        ("spring.compressed-length", "LF"): "11 7/16 in",
    },
    words={
        "tyre.size": "7.35-14",
        "compressor.used": f"Two-hook compressor no. 2, plate says {RATING}",
    },
    shelves={"LF": "Rack 1, shelf A", "RF": "Rack 1, shelf B"},
)


def tell(stage: Stage) -> None:
    """Strip the left corner until its spring is measured in the compressor; there it is at this moment."""
    crew = stage.crew
    visit = Visit(CAR, ("springs",), crew.bays[0], STORY)
    pressing, spring = at("compressor", "LF"), at("spring", "LF")
    hands_on = stage.now - timedelta(minutes=AGO_min)
    begun = stage.hours.before(stage.hours.latest(hands_on), stage.minutes_until(visit, pressing))
    walk, _ = stage.open(visit, begun)
    walk.until(at("bar-link", "LF"), by=crew.pim, second=crew.joss)
    walk.until(pressing, by=crew.joss, second=crew.edda)

    walk.now, walk.later = hands_on, straight_on
    step = walk.until(spring, by=crew.joss, second=crew.edda)
    with walk.at(step, by=crew.joss) as here:
        here.start(confirmer=crew.edda)
    walk.pass_time(2.0)
    with walk.at(step, by=crew.joss) as here:
        for wanted in here.rung.move.captures:
            if wanted.id in ("spring.hooks", "spring.compressed-length"):
                here.capture(wanted, "LF")
        here.refresh()
