"""What fastener grades and finishes are good for, from the public tables."""

from dataclasses import dataclass
from enum import Enum

from server.compute.constants import INCH_m, KSI_Pa
from server.compute.refusal import Refused

_SAE = "SAE J429, as in Shigley 9th ed. Table 8-9"
_ISO = "ISO 898-1, as in Shigley 9th ed. Table 8-11 and the ISO load tables"


@dataclass(frozen=True, slots=True)
class Strength:
    """What a bolt of a grade withstands."""

    grade: str
    proof_Pa: float
    tensile_Pa: float
    yield_Pa: float
    source: str


# grade, diameter from and up to [in], proof, tensile, yield [ksi]
_INCH = (
    ("SAE 1", 0.25, 1.5, 33, 60, 36),
    ("SAE 2", 0.25, 0.75, 55, 74, 57),
    ("SAE 2", 0.875, 1.5, 33, 60, 36),
    ("SAE 5", 0.25, 1.0, 85, 120, 92),
    ("SAE 7", 0.25, 1.5, 105, 133, 115),
    ("SAE 8", 0.25, 1.5, 120, 150, 130),
)
# class, diameter from and up to [mm], proof, tensile, yield [MPa]; the last yield figure is from memory
_METRIC = (
    ("8.8", 1.6, 16, 580, 800, 640),
    ("8.8", 18, 36, 600, 830, 660),
    ("9.8", 1.6, 16, 650, 900, 720),
    ("10.9", 5, 36, 830, 1040, 940),
    ("12.9", 1.6, 36, 970, 1220, 1100),
)
GRADES: tuple[str, ...] = tuple(dict.fromkeys(row[0] for row in (*_INCH, *_METRIC)))


class UnknownGrade(Refused):
    """A grade, or a size of it, that the tables do not hold."""


def strength(grade: str, diameter_m: float) -> Strength:
    """The strength of a grade at a thread diameter.

    raises     UnknownGrade
    """
    for table, size_m, stress_Pa, source in (
        (_INCH, float(INCH_m), float(KSI_Pa), _SAE),
        (_METRIC, 1e-3, 1e6, _ISO),
    ):
        for name, least, most, proof, tensile, yield_ in table:
            if name == grade and least * size_m - 1e-9 <= diameter_m <= most * size_m + 1e-9:
                return Strength(grade, proof * stress_Pa, tensile * stress_Pa, yield_ * stress_Pa, source)
    if grade in GRADES:
        raise UnknownGrade(f"The tables have no {grade} bolt of that diameter.")
    raise UnknownGrade(f"Grade {grade} is not in the tables; they hold {', '.join(GRADES)}.")


class Finish(Enum):
    """A thread's finish: its nut factor and how far preload scatters about it at one torque.

    source     nut factors: Shigley 9th ed. Table 8-15; scatter: J. Failure Analysis and Prevention 2019,
               doi 10.1007/s11668-019-00693-z: 35 % dry or as received, 25 % lubricated
    """

    BLACK = (0.30, 0.35)
    ZINC = (0.20, 0.35)
    LUBRICATED = (0.18, 0.25)
    CADMIUM = (0.16, 0.35)

    @property
    def nut_factor(self) -> float:
        """K in T = K·F·d."""
        return self.value[0]

    @property
    def scatter(self) -> float:
        """Fraction of the preload, either way."""
        return self.value[1]
