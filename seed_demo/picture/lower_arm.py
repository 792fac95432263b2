"""The lower arm's two pivots in the frame, with their bolts in."""

from seed_demo.picture import ground, metal
from seed_demo.picture.sheet import Sheet


def draw(*, heads_forward: bool, right: bool, tilt_deg: float) -> Sheet:
    """The sheet with spots "front pivot" and "rear pivot"; the front of the car is to the left."""
    sheet = Sheet(ground.well().copy(), 3.1, tilt_deg, (0.0, 30.0))
    metal.plate(sheet, metal.box(-270, -150, 540, 76), metal.BLACK, edge_mm=4)
    sheet.lay(8.0)
    iron = metal.mix(metal.CAST, metal.RUST, 0.35 if right else 0.5)
    arm = [(-176.0, -44.0), (-120, -44), (-40, 60), (40, 60), (120, -44), (176, -44), (84, 190), (-84, 190)]
    metal.plate(sheet, arm, iron, edge_mm=5)
    metal.dome(sheet, (0, 118), 104, (22, 21, 20), flat=0.9)
    sheet.lay(16.0)
    for name, x in (("front pivot", -148.0), ("rear pivot", 148.0)):
        _pivot(sheet, x, head_left=heads_forward)
        sheet.spot(name, x, -56)
    return sheet


def _pivot(sheet: Sheet, x: float, *, head_left: bool) -> None:
    """Two ears of the frame, the bushing between them, and the bolt through all three."""
    metal.bar(sheet, (x - 30, -56), (x + 30, -56), 62, metal.CAST)
    metal.bar(sheet, (x - 33, -56), (x + 33, -56), 40, metal.RUBBER)
    for ear in (-46.0, 34.0):
        metal.plate(sheet, metal.box(x + ear, -96, 12, 82), metal.BLACK, edge_mm=3)
    head, nut = (x - 60, x + 50) if head_left else (x + 50, x - 60)
    metal.bar(sheet, (head, -56), (head + 12, -56), 24, metal.ZINC)
    metal.bar(sheet, (nut, -56), (nut + 12, -56), 24, metal.STEEL)
    beyond = nut + 26 if nut > x else nut - 14
    metal.thread(sheet, (nut + 6, -56), (beyond, -56), 13, crests=9)
    sheet.lay(8.0)
