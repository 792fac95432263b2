"""Is this wrench right for this fastener, and what is it to be set to."""

from dataclasses import dataclass
from datetime import date, timedelta
from math import cos

from server.compute.answer import formula
from server.compute.constants import LBF_FT_Nm
from server.compute.refusal import Refused
from server.compute.torque import Window
from server.compute.unit import Quantity

_ARMY = "US Army TM 1-1500-204-23-9, ch. 8; angle: TM 9-254, figs 4-5 and 4-6"

LOWEST_SHARE = 0.20  # of full scale; no accuracy is required below it: US Army TM 1-1500-204-23-9, ch. 8
BEST_LOW, BEST_HIGH = 0.30, 0.80  # of full scale, where it reads best: the same
CALIBRATION_LASTS = timedelta(days=365)  # at least once a year: FAA AC 43.13-1B para 7-40 a
_SMALL_WRENCH_Nm = 10.0  # ISO 6789 (2003) draws the line between 6 % and 4 % here


class TooCoarse(Refused):
    """No setting of this wrench is sure to land in the window."""


@formula(Quantity.TORQUE, "S = T · L / (L + E · cos a)", _ARMY)
def setting_Nm(*, torque_Nm: float, handle_m: float, adapter_m: float, angle_rad: float = 0.0) -> float:
    """What to set when an adapter or extension changes the reach.

    torque_Nm   wanted at the fastener
    handle_m    grip centre to drive square
    adapter_m   drive square to fastener; below 0 where the adapter points back
    angle_rad   between adapter and wrench; at a right angle the setting is the torque
    raises      Refused if nothing is left of the reach
    """
    return torque_Nm * handle_m / _reach_m(handle_m, adapter_m, angle_rad)


@formula(Quantity.TORQUE, "T = S · (L + E · cos a) / L", _ARMY)
def applied_Nm(*, setting_Nm: float, handle_m: float, adapter_m: float, angle_rad: float = 0.0) -> float:
    """What the fastener gets at a setting; lengths as for the setting."""
    return setting_Nm * _reach_m(handle_m, adapter_m, angle_rad) / handle_m


def _reach_m(handle_m: float, adapter_m: float, angle_rad: float) -> float:
    if handle_m <= 0:
        raise Refused("Measure the wrench from the middle of its grip to its square; that is above 0.")
    reach_m = handle_m + adapter_m * cos(angle_rad)
    if reach_m <= 0:
        raise Refused("The adapter points back further than the wrench is long; no setting makes that right.")
    return reach_m


@dataclass(frozen=True, slots=True)
class Wrench:
    """A torque wrench as its plate and its certificate describe it."""

    lowest_Nm: float
    highest_Nm: float
    accuracy: float  # fraction of the reading
    calibrated: date | None

    def __post_init__(self) -> None:
        if not 0 <= self.lowest_Nm < self.highest_Nm:
            raise Refused("A wrench's scale runs from its lower to its higher figure.")


def standard_accuracy(highest_Nm: float) -> float:
    """The accuracy to assume for a setting wrench without a certificate, as a fraction of the reading.

    source     ISO 6789 (2003), type II class A: 4 % above 10 N·m, 6 % up to and including it
    """
    return 0.04 if highest_Nm > _SMALL_WRENCH_Nm else 0.06


def reached(setting_Nm: float, accuracy: float) -> Window:
    """The torques that a setting may really mean."""
    return Window(setting_Nm * (1 - accuracy), setting_Nm * (1 + accuracy))


def settings(window: Window, accuracy: float) -> Window:
    """The settings that stay inside the window however far off the wrench is.

    raises     TooCoarse if there is none
    """
    lowest_Nm = window.lowest_Nm / (1 - accuracy)
    highest_Nm = window.highest_Nm / (1 + accuracy)
    if lowest_Nm > highest_Nm:
        raise TooCoarse(
            f"A wrench that is good to ±{accuracy:.0%} cannot be sure to land between "
            f"{window.lowest_Nm:.0f} and {window.highest_Nm:.0f} N·m; take a finer one."
        )
    return Window(lowest_Nm, highest_Nm)


@dataclass(frozen=True, slots=True)
class Fitness:
    """Whether a wrench is fit for a torque, and why not or what to mind."""

    fit: bool
    reasons: tuple[str, ...]  # each alone makes it unfit
    cautions: tuple[str, ...]


def fitness(wrench: Wrench, setting_Nm: float, today: date, *, window: Window | None = None) -> Fitness:
    """Whether this wrench may be used at this setting today.

    window     the settings that are right, adapter included; when given, its accuracy must suit it
    source     range and best part of it: US Army TM 1-1500-204-23-9, ch. 8; yearly calibration:
               FAA AC 43.13-1B para 7-40 a
    """
    reasons = (
        *_range_reasons(wrench, setting_Nm),
        *_accuracy_reasons(wrench, window),
        *_calibration_reasons(wrench, today),
    )
    return Fitness(not reasons, reasons, _best_part(wrench, setting_Nm))


def _range_reasons(wrench: Wrench, setting_Nm: float) -> tuple[str, ...]:
    if not wrench.lowest_Nm <= setting_Nm <= wrench.highest_Nm:
        return (
            f"{_both(setting_Nm)} is outside its range, {wrench.lowest_Nm:g} to {wrench.highest_Nm:g} N·m.",
        )
    if setting_Nm < LOWEST_SHARE * wrench.highest_Nm:
        lowest = _both(LOWEST_SHARE * wrench.highest_Nm)
        return (f"Below {lowest}, a fifth of its full scale, its accuracy is not vouched for.",)
    return ()


def _accuracy_reasons(wrench: Wrench, window: Window | None) -> tuple[str, ...]:
    if window is None:
        return ()
    try:
        settings(window, wrench.accuracy)
    except TooCoarse as refusal:
        return (str(refusal),)
    return ()


def _calibration_reasons(wrench: Wrench, today: date) -> tuple[str, ...]:
    if wrench.calibrated is None:
        return ("There is no calibration date for it.",)
    if wrench.calibrated > today:
        return (f"Its calibration date, {wrench.calibrated}, is still to come.",)
    if today - wrench.calibrated > CALIBRATION_LASTS:
        return (f"It was calibrated on {wrench.calibrated}, more than a year ago.",)
    return ()


def _best_part(wrench: Wrench, setting_Nm: float) -> tuple[str, ...]:
    if BEST_LOW * wrench.highest_Nm <= setting_Nm <= BEST_HIGH * wrench.highest_Nm:
        return ()
    low, high = BEST_LOW * wrench.highest_Nm, BEST_HIGH * wrench.highest_Nm
    return (f"It reads best from {low:.0f} to {high:.0f} N·m.",)


def _both(torque_Nm: float) -> str:
    return f"{torque_Nm:.0f} N·m ({torque_Nm / float(LBF_FT_Nm):.0f} lbf·ft)"
