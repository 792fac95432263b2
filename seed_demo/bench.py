"""Bay 2: everything off on both sides. On the bench, decisions and presets wait; one part is sent out."""

from seed_demo.car import METRIC_TORQUES, Car
from seed_demo.corner import FRAMED
from seed_demo.stage import Stage, Visit, at
from seed_demo.story import Story, Verdict

AGO_min = 35.0  # since the bench was begun
DECIDED = 5  # parts so far

CAR = Car(
    make="Tessendorn",
    model="1700",
    year="1971",
    plate="QX 071 B",
    drive="RHD",
    system="metric",
    paint=(150, 62, 46),
    sheet=METRIC_TORQUES
    | FRAMED
    | {
        "camber": "0.25° ± 0.5°",
        "caster": "2.5° ± 0.5°",
        "toe.total": "1 to 3 mm toe-in",
        "toe.diameter": "600 mm",
        "ride-height": "358 mm ± 8 mm",
        "tie-rod.pitch": "1.5 mm",
        "tie-rod.thread": "18 mm",
        "spring.rate": "58 N/mm",
        "spring.free-length": "382 mm",
        "spring.solid-length": "186 mm",
        "compressor.rating": "11.5 kN",
    },
    generic={},
)
STORY = Story(
    system="metric",
    figures={
        ("odometer", ""): "148230 km",
        ("tyre.pressure", ""): "2.0 bar",
        ("ride-height", "LF"): "352 mm",
        ("ride-height", "RF"): "356 mm",
        ("ride-height.frame", "LF"): "188 mm",
        ("ride-height.frame", "RF"): "191 mm",
        ("toe.tape-front", ""): "1312 mm",
        ("toe.tape-rear", ""): "1314 mm",
        ("toe.tape-diameter", ""): "600 mm",
        ("camber", "LF"): "-0.5°",
        ("camber", "RF"): "0.3°",
        ("caster", "LF"): "2.0°",
        ("caster", "RF"): "2.7°",
        ("tie-rod.length", "LF"): "306 mm",
        ("tie-rod.length", "RF"): "304 mm",
        ("tie-rod.threads-inner", ""): "9",
        ("tie-rod.threads-outer", "LF"): "10",
        ("tie-rod.threads-outer", "RF"): "9",
        ("spring.compressed-length", "LF"): "275 mm",
        ("spring.compressed-length", "RF"): "276 mm",
        ("pack.front", "LF"): "4.0 mm",
        ("pack.rear", "LF"): "5.5 mm",
        ("pack.front", "RF"): "3.5 mm",
        ("pack.rear", "RF"): "5.0 mm",
        ("spring.free-length", "LF"): "379 mm",
        ("disc.thickness", "LF"): "21.4 mm",
        ("disc.run-out", "LF"): "0.14 mm",
    },
    words={
        "tyre.size": "165 R 14",
        "compressor.used": "Two-hook compressor no. 1, plate says 11.5 kN",
        "lower-arm.bolt-direction": "Both forward",
    },
    verdicts={
        ("link", ""): Verdict("renew", "rubbers split, rod rusted thin", "inspect.photo"),
        ("tie-rod", ""): Verdict("renew", "outer joint has play, boot torn", "inspect.photo"),
        ("caliper", ""): Verdict("reuse", "slides freely, boots whole"),
        ("shock", ""): Verdict("renew", "wet from the seal down", "inspect.photo"),
        ("knuckle", "LF"): Verdict("send out", "disc to be skimmed: 0.14 mm run-out", "disc.run-out"),
    },
    shelves={"LF": "Rack 2, shelf A", "RF": "Rack 2, shelf B", "centre": "Rack 2, on top"},
)


def tell(stage: Stage) -> None:
    """Strip both corners and the bar, then begin to look at what came off on the left."""
    crew = stage.crew
    visit = Visit(CAR, ("everything",), crew.bays[1], STORY)
    inspecting = at("inspect", "LF", "bench")
    at_the_bench = stage.hours.before(stage.now, AGO_min)
    begun = stage.hours.before(at_the_bench, stage.minutes_until(visit, inspecting))
    walk, album = stage.open(visit, begun)
    step = walk.until(inspecting, by=crew.edda, second=crew.teo)

    album.going = "bench"
    with walk.at(step, by=crew.edda) as here:
        here.start(confirmer=crew.edda)
    walk.pass_time(AGO_min / 2)
    with walk.at(step, by=crew.edda) as here:
        for wanted in here.rung.move.captures:
            here.capture(wanted, "LF")
        here.decide(at_most=DECIDED)
        here.refresh()
