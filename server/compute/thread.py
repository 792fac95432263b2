"""Thread sizes as they are written: 1/2-20, M12x1.5."""

import re
from dataclasses import dataclass
from fractions import Fraction

from server.compute.constants import INCH_m, KSI_Pa
from server.compute.grade import Finish
from server.compute.preload import REUSED, Thread, stress_area_m2
from server.compute.refusal import Refused

_INCH = re.compile(r"(?P<top>[0-9]{1,2})/(?P<bottom>[1-9][0-9]?) ?- ?(?P<per_inch>[1-9][0-9]?)")
_METRIC = re.compile(r"[Mm](?P<diameter>[0-9]{1,2}) ?[x×] ?(?P<pitch>[0-9]{1,2}(?:[.,][0-9]{1,2})?)")
_PER_INCH = re.compile(r"([1-9][0-9]?) ?(?:tpi|threads? (?:per|to the|to an|an) inch)", re.IGNORECASE)

_SOFTEST_Pa = 33 * float(KSI_Pa)  # proof stress of SAE 1: SAE J429, as in Shigley 9th ed. Table 8-9
_HARDEST_Pa = 970e6  # of class 12.9: ISO 898-1, as in Shigley 9th ed. Table 8-11


@dataclass(frozen=True, slots=True)
class ThreadSize:
    """Diameter, pitch, and the standard they belong to."""

    text: str
    diameter_m: float
    pitch_m: float
    thread: Thread

    @property
    def plausible_Nm(self) -> tuple[float, float]:
        """Torques outside which a second look is due [N·m].

        From half of what the softest listed steel gets with the slipperiest finish, to twice what the
        hardest gets dry. The factors are our own.
        """
        area_m2 = stress_area_m2(diameter_m=self.diameter_m, pitch_m=self.pitch_m, thread=self.thread)
        per_stress = REUSED * area_m2 * self.diameter_m
        least = Finish.CADMIUM.nut_factor * _SOFTEST_Pa * per_stress
        most = Finish.BLACK.nut_factor * _HARDEST_Pa * per_stress
        return least / 2, most * 2


def pitch_per_inch_m(text: str) -> float | None:
    """The pitch [m] of `18 tpi` or `18 threads per inch`; none where it says something else."""
    match = _PER_INCH.fullmatch(text.strip())
    return float(INCH_m) / int(match[1]) if match else None


def least_protrusion_m(size: ThreadSize) -> float:
    """How far a bolt stands out of its nut at least: two threads. Source: US Army TB 43-0218."""
    return 2 * size.pitch_m


def least_tapped_m(size: ThreadSize) -> float:
    """How deep a bolt goes into softer metal at least: 1.5 diameters. Source: US Army TB 43-0218."""
    return 1.5 * size.diameter_m


def thread_size(text: str) -> ThreadSize:
    """The size that a thread's designation says; raises Refused where it says none, or one that cannot be."""
    typed = text.strip()
    if match := _INCH.fullmatch(typed):
        inch_m = float(INCH_m)
        diameter = Fraction(int(match["top"]), int(match["bottom"]))
        size = ThreadSize(typed, float(diameter) * inch_m, inch_m / int(match["per_inch"]), Thread.INCH)
    elif match := _METRIC.fullmatch(typed):
        pitch_mm = float(match["pitch"].replace(",", "."))
        size = ThreadSize(typed, int(match["diameter"]) / 1000, pitch_mm / 1000, Thread.METRIC)
    else:
        raise Refused("Write the thread as 1/2-20 or M12x1.5.")
    stress_area_m2(diameter_m=size.diameter_m, pitch_m=size.pitch_m, thread=size.thread)
    return size
