"""The long run of the round trips: 100,000 figures written as the trade writes them and read back.

Run by hand: uv run python -m tests.compute.long_round_trip [count] [seed]
"""

import random
import sys
from fractions import Fraction

from server.compute.measure import Quantity, read
from server.compute.show import show

INCH = Fraction("0.0254")
TORQUE_UNITS = {
    "lb-ft": Fraction("1.3558179483314004"),
    "N·m": Fraction(1),
    "in-lbs": Fraction("0.1129848290276167"),
}


def inches(draw: random.Random) -> tuple[str, Fraction]:
    bottom = draw.choice([2, 4, 8, 16, 32, 64])
    whole, top = draw.randrange(1, 60), draw.randrange(1, bottom)
    mark = draw.choice([" in", '"', " inch", "in", ""])
    joint = draw.choice([" ", "-"])
    return f"{whole}{joint}{top}/{bottom}{mark}", (whole + Fraction(top, bottom)) * INCH


def millimetres(draw: random.Random) -> tuple[str, Fraction]:
    decimals = draw.randrange(0, 4)
    digits = draw.randrange(1, 10 ** (decimals + 3))
    point = draw.choice(".,") if decimals else ""
    whole, rest = divmod(digits, 10**decimals)
    text = f"{whole}{point}{rest:0{decimals}d}" if decimals else str(whole)
    return f"{text} mm", Fraction(digits, 10**decimals) / 1000


def degrees_and_minutes(draw: random.Random) -> tuple[str, Fraction]:
    whole, minutes, sign = draw.randrange(0, 12), draw.randrange(0, 60), draw.choice(["", "-", "−"])
    size = whole + Fraction(minutes, 60)
    return f"{sign}{whole}°{minutes}'", -size if sign else size


def torque(draw: random.Random) -> tuple[str, Fraction]:
    unit = draw.choice(list(TORQUE_UNITS))
    tenths = draw.randrange(1, 9000)
    return f"{tenths // 10}.{tenths % 10} {unit}", Fraction(tenths, 10) * TORQUE_UNITS[unit]


WAYS = (
    (inches, Quantity.LENGTH, "in", 1.0),
    (millimetres, Quantity.LENGTH, "mm", 1.0),
    (degrees_and_minutes, Quantity.ANGLE, "°", 3.141592653589793 / 180),
    (torque, Quantity.TORQUE, "N·m", 1.0),
)


def main(count: int = 100_000, seed: int = 1) -> None:
    draw = random.Random(seed)
    print(f"{count} round trips, seed {seed}")
    for _ in range(count):
        way, quantity, unit, to_si = draw.choice(WAYS)
        text, meant = way(draw)
        reading = read(text, quantity, default_unit=unit, signed=True)
        assert abs(reading.value - float(meant) * to_si) <= 1e-14 * max(1.0, abs(float(meant))), text
        for system in ("inch", "metric"):
            shown = show(reading.value, quantity, system=system).split(" + ")[0].split(" − ")[0]
            again = read(shown, quantity, default_unit=unit, signed=True)
            assert abs(again.value - reading.value) <= again.uncertainty * (1 + 1e-9), (text, shown)
    print("all came back")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]))
