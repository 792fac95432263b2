"""Cotter pins: which one belongs in a hole or a castle nut. Only sizes that were read are carried.

Sources: inch pins and their holes, ASME B18.8.1; inch slots, ASME B18.2.2; metric nuts and pins, DIN 935-1
with ISO 1234; number of slots, note of DIN 937.
"""

from dataclasses import dataclass

from server.compute.constants import INCH_m
from server.compute.refusal import Refused
from server.compute.show import show_both
from server.compute.unit import Quantity

_INCH_m = float(INCH_m)
_MOST_WITH_SIX_SLOTS_m = 0.039
_HOLE_OVER_PIN_in = 1 / 64
_PRINTED_TO_m = 0.001 * _INCH_m  # the last digit of a hole in the table
_PINS_in = (1 / 16, 3 / 32, 7 / 64, 1 / 8, 3 / 16)
# thread [mm]: least slot, pin, length of the pin [mm]
_METRIC = {
    6: (2.0, 1.6, 14.0),
    8: (2.5, 2.0, 16.0),
    10: (2.8, 2.5, 20.0),
    12: (3.5, 3.2, 22.0),
    16: (4.5, 4.0, 28.0),
}
# thread [in]: least and most slot [in]
_INCH = {7 / 16: (0.12, 0.15), 1 / 2: (0.15, 0.18), 5 / 8: (0.18, 0.24), 3 / 4: (0.18, 0.24)}


@dataclass(frozen=True, slots=True)
class Slot:
    """The slot of a castle nut, and the pin through it where the table names one."""

    least_m: float
    most_m: float | None = None
    pin_m: float | None = None
    pin_length_m: float | None = None


def slots(diameter_m: float) -> int:
    """How many slots a castle nut of that thread has."""
    return 6 if diameter_m <= _MOST_WITH_SIX_SLOTS_m else 8


def hole_m(pin_m: float) -> float:
    """The hole that an inch pin is made for; pins below 5/16 in."""
    return pin_m + _HOLE_OVER_PIN_in * _INCH_m


def pin_for_hole_m(measured_m: float) -> float:
    """The thickest inch pin that goes through a hole."""
    fitting = [pin * _INCH_m for pin in _PINS_in if hole_m(pin * _INCH_m) <= measured_m + _PRINTED_TO_m]
    if not fitting:
        least = show_both(hole_m(_PINS_in[0] * _INCH_m), Quantity.LENGTH, system="inch")
        raise Refused(f"No cotter pin of the table goes through that hole; the smallest wants {least}.")
    return max(fitting)


def slot(diameter_m: float) -> Slot:
    """The slot of a castle nut for that thread, inch or metric; raises Refused beyond the tables."""
    for diameter_mm, (least_mm, pin_mm, length_mm) in _METRIC.items():
        if abs(diameter_m - diameter_mm / 1000) < 1e-6:
            return Slot(least_mm / 1000, None, pin_mm / 1000, length_mm / 1000)
    for diameter_in, (least_in, most_in) in _INCH.items():
        if abs(diameter_m - diameter_in * _INCH_m) < 1e-6:
            return Slot(least_in * _INCH_m, most_in * _INCH_m)
    raise Refused("The tables have no castle nut for that thread.")
