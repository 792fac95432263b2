"""The rubber stop under the frame and how it is held."""

from seed_demo.picture import ground, metal
from seed_demo.picture.sheet import Sheet


def draw(*, right: bool, tilt_deg: float) -> Sheet:
    """The sheet with the spot "stop"."""
    sheet = Sheet(ground.well().copy(), 8.0, tilt_deg, (0.0, 6.0))
    metal.plate(sheet, metal.box(-110, -76, 220, 52), metal.mix(metal.BLACK, metal.RUST, 0.3), edge_mm=3)
    sheet.lay(8.0)
    metal.bar(sheet, (0, -24), (0, -12), 52, metal.STEEL)
    metal.cone(sheet, (0, -12), (0, 20), 46, 38, metal.RUBBER)
    metal.cone(sheet, (0, 20), (0, 36), 38, 16, metal.RUBBER)
    crack = -6.0 if right else 7.0
    sheet.line([(crack, -8), (crack + 4, 6), (crack + 1, 18)], (12, 12, 12), 0.9)
    sheet.lay(8.0)
    sheet.spot("stop", 0, 10)
    return sheet
