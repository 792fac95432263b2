"""Invented cars with their spec sheets: every line with the page of a manual that does not exist."""

from collections.abc import Mapping
from dataclasses import dataclass

from seed_demo.picture.sheet import Colour
from server.compute.show import System
from server.shop.generic_torque import Joint

Pages = Mapping[str, str]  # what a key begins with -> page

PAGES: Pages = {
    "torque.wheel": "3-6",
    "torque.": "4-12",
    "camber": "4-3",
    "caster": "4-3",
    "toe": "4-3",
    "ride-height": "4-2",
    "tie-rod": "5-9",
    "spring": "4-18",
}
ELSEWHERE: Pages = {
    "new-spring": "Card in the box of the new springs",
    "compressor": "Plate on the compressor",
    "corner": "Tape and plumb lines, left side",
    "point": "Measuring frame, left side",
}


@dataclass(frozen=True, slots=True)
class Car:
    """What is invented of one car before anybody touched it."""

    make: str
    model: str
    year: str
    plate: str
    drive: str
    system: System
    paint: Colour
    sheet: Mapping[str, str]  # key of a line -> as typed
    generic: Mapping[str, Joint]  # key of a torque that the manual does not give -> what is known of it

    def source(self, key: str) -> str:
        """Where a line of the sheet comes from."""
        for start, words in ELSEWHERE.items():
            if key.startswith(start):
                return words
        page = next(page for start, page in PAGES.items() if key.startswith(start))
        return f"Maker's manual, p. {page}"


INCH_TORQUES = {
    "torque.wheel-nut": "75 to 85 lbf·ft",
    "torque.link-nut": "14 to 18 lbf·ft",
    "torque.bar-bracket-bolt": "22 to 28 lbf·ft",
    "torque.outer-tie-rod-nut": "35 to 45 lbf·ft",
    "torque.inner-tie-rod-nut": "35 to 45 lbf·ft",
    "torque.sleeve-clamp-bolt": "11 to 15 lbf·ft",
    "torque.caliper-bolt": "32 to 40 lbf·ft",
    "torque.shock-top-nut": "9 to 13 lbf·ft",
    "torque.shock-bottom-bolt": "15 to 20 lbf·ft",
    "torque.lower-pivot-bolt": "80 to 95 lbf·ft",
    "torque.lower-joint-nut": "80 to 95 lbf·ft",
    "torque.upper-joint-nut": "50 to 65 lbf·ft",
    "torque.upper-joint-bolt": "20 to 25 lbf·ft",
    "torque.upper-arm-nut": "65 to 80 lbf·ft",
    "torque.shaft-end-nut": "75 to 95 lbf·ft",
    "torque.bump-stop-nut": "16 to 22 lbf·ft",
}
METRIC_TORQUES = {
    "torque.wheel-nut": "95 to 110 N·m",
    "torque.link-nut": "20 to 26 N·m",
    "torque.bar-bracket-bolt": "30 to 38 N·m",
    "torque.outer-tie-rod-nut": "45 to 60 N·m",
    "torque.inner-tie-rod-nut": "45 to 60 N·m",
    "torque.sleeve-clamp-bolt": "16 to 20 N·m",
    "torque.caliper-bolt": "45 to 55 N·m",
    "torque.shock-top-nut": "14 to 18 N·m",
    "torque.shock-bottom-bolt": "22 to 28 N·m",
    "torque.lower-pivot-bolt": "105 to 125 N·m",
    "torque.lower-joint-nut": "100 to 120 N·m",
    "torque.upper-joint-nut": "70 to 85 N·m",
    "torque.upper-joint-bolt": "27 to 34 N·m",
    "torque.upper-arm-nut": "90 to 105 N·m",
    "torque.shaft-end-nut": "100 to 120 N·m",
    "torque.bump-stop-nut": "22 to 28 N·m",
}
