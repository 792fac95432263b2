"""Bay 3: new joints and tie rods going in. The last torque waits for somebody else to look at it."""

from seed_demo.car import INCH_TORQUES, Car
from seed_demo.corner import TAPED_in
from seed_demo.stage import Stage, Visit, at
from seed_demo.story import Story, Verdict
from server.shop.generic_torque import Joint

AGO_min = 25.0  # since the step in hand was begun
OUTER_NUT = 2  # its torque and its cotter come first at that step

CAR = Car(
    make="Brackholm",
    model="Fieldfare",
    year="1963",
    plate="KR 5-093",
    drive="LHD",
    system="inch",
    paint=(176, 162, 118),
    sheet=INCH_TORQUES
    | TAPED_in
    | {
        "camber": "0.5° ± 0.5°",
        "caster": "1° ± 0.5°",
        "toe.total": "0 to 1/8 in toe-in",
        "toe.diameter": "27 in",
        "ride-height": "14 1/4 in ± 3/8 in",
        "tie-rod.pitch": "1.411 mm",
        "tie-rod.thread": "11/16 in",
        "spring.rate": "300 lbf/in",
        "spring.free-length": "15 3/4 in",
        "spring.solid-length": "7 1/2 in",
        "compressor.rating": "2600 lbf",
    },
    generic={"torque.shock-bottom-bolt": Joint("SAE 5", "5/16-18", "zinc")},
)
STORY = Story(
    figures={
        ("odometer", ""): "98112 mi",
        ("tyre.pressure", ""): "26 psi",
        ("ride-height", "LF"): "14 5/16 in",
        ("ride-height", "RF"): "14 3/16 in",
        ("ride-height.frame", "LF"): "8 1/16 in",
        ("ride-height.frame", "RF"): "7 15/16 in",
        ("toe.tape-front", ""): "58 13/32 in",
        ("toe.tape-rear", ""): "58 15/32 in",
        ("toe.tape-diameter", ""): "27 in",
        ("camber", "LF"): "0.7°",
        ("camber", "RF"): "0.5°",
        ("tie-rod.length", "LF"): "13 5/16 in",
        ("tie-rod.length", "RF"): "13 3/16 in",
        ("tie-rod.threads-inner", ""): "10",
        ("tie-rod.threads-outer", ""): "10",
        ("tie-rod.threads-inner@bench", "LF"): "11",
        ("tie-rod.threads-outer@bench", "LF"): "11",
        ("tie-rod.threads-inner@bench", "RF"): "10",
        ("tie-rod.threads-outer@bench", "RF"): "11",
        ("tie-rod.lies-at", "LF"): "13 1/16 in",
        ("tie-rod.lies-at", "RF"): "12 15/16 in",
        ("tie-rod.thread-length", "LF"): "2 3/16 in",
        ("tie-rod.thread-length", "RF"): "2 3/16 in",
        ("tie-rod.right-hand", "LF"): "Outer end",
        ("tie-rod.right-hand", "RF"): "Outer end",
        ("spring.compressed-length", "LF"): "10 15/16 in",
        ("spring.compressed-length", "RF"): "11 1/16 in",
        ("spring.free-length", "LF"): "15 11/16 in",
        ("spring.free-length", "RF"): "15 11/16 in",
        ("disc.thickness", "LF"): "0.94 in",
        ("disc.thickness", "RF"): "0.95 in",
        ("disc.run-out", "LF"): "0.002 in",
        ("disc.run-out", "RF"): "0.003 in",
    },
    words={
        "tyre.size": "6.40-15",
        "compressor.used": "Two-hook compressor no. 2, plate says 2600 lbf",
        "tie-rod.right-hand": "Outer end",
    },
    verdicts={
        ("link", ""): Verdict("renew", "rubbers hard and cracked", "inspect.photo"),
        ("tie-rod", ""): Verdict("renew", "inner joint has play", "inspect.photo"),
        ("caliper", ""): Verdict("reuse", "slides freely, boots whole"),
        ("shock", ""): Verdict("reuse", "dry, even resistance both ways"),
        ("knuckle", ""): Verdict("reuse", "tapers clean, disc true", "disc.run-out"),
        ("spring", ""): Verdict("reuse", "1/16 in short of new, both alike", "spring.free-length"),
        ("lower-joint", ""): Verdict("renew", "drops by its own weight", "inspect.photo"),
        ("upper-joint", ""): Verdict("renew", "stud rattles in the socket", "inspect.photo"),
    },
    shelves={"LF": "Rack 3, shelf A", "RF": "Rack 3, shelf B"},
)


def tell(stage: Stage) -> None:
    """Strip, renew and refit up to the right tie rod; its outer nut is torqued and nobody has seen it."""
    crew = stage.crew
    visit = Visit(CAR, ("tie-rods", "lower-joints", "upper-joints"), crew.bays[2], STORY)
    last = at("tie-rod", "RF", "up")
    in_hand = stage.hours.before(stage.now, AGO_min)
    begun = stage.hours.before(in_hand, stage.minutes_until(visit, last))
    walk, album = stage.open(visit, begun)
    album.renewed = frozenset({"tie-rod"})
    walk.until(lambda step: step.direction == "bench", by=crew.teo, second=crew.edda)
    album.going = "bench"
    walk.until(lambda step: step.direction == "up", by=crew.teo, second=crew.maren)
    album.going = "up"
    step = walk.until(last, by=crew.teo, second=crew.maren)

    with walk.at(step, by=crew.teo) as here:
        here.start(confirmer=crew.teo)
    walk.pass_time(AGO_min * 0.6)
    with walk.at(step, by=crew.teo) as here:
        for pending in here.tightenings()[:OUTER_NUT]:
            here.tighten_set(pending, second=None)
