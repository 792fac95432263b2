"""Two upper-arm studs on the bench, their splines and threads to be seen."""

from seed_demo.picture import ground, metal
from seed_demo.picture.sheet import Sheet


def draw(*, tilt_deg: float) -> Sheet:
    """The sheet with spots "splines" and "thread", both on the nearer stud."""
    sheet = Sheet(ground.bench().copy(), 9.5, tilt_deg, (60.0, 16.0))
    for y, lean in ((0.0, 1.5), (38.0, -2.0)):
        metal.bar(sheet, (0, y), (8, y + lean * 0.06), 25, metal.STEEL)
        metal.thread(sheet, (8, y), (30, y + lean * 0.3), 15.5, crests=7)
        metal.bar(sheet, (30, y + lean * 0.3), (72, y + lean * 0.7), 12.7, metal.STEEL)
        metal.thread(sheet, (72, y + lean * 0.7), (122, y + lean), 12.7, crests=39)
        for spline in range(5):
            at = y - 5.6 + spline * 2.8
            sheet.line([(8, at), (30, at + lean * 0.3)], metal.shade(metal.STEEL, 0.5), 0.5)
    sheet.lay(7.0)
    sheet.spot("splines", 19, 38)
    sheet.spot("thread", 97, 38)
    return sheet
