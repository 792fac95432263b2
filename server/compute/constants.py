"""Unit factors and material figures, each with its origin on the line.

Unit factors are exact fractions, so that 12 5/8 in and 320.675 mm become the very same number.
"""

import math
from fractions import Fraction

INCH_m = Fraction("0.0254")  # international yard and pound agreement, 1959
FOOT_m = 12 * INCH_m  # definition
MILE_m = 5280 * FOOT_m  # definition
POUND_kg = Fraction("0.45359237")  # international yard and pound agreement, 1959
GRAVITY_m_per_s2 = Fraction("9.80665")  # standard gravity, 3rd CGPM, 1901
LBF_N = POUND_kg * GRAVITY_m_per_s2  # definition
KGF_N = GRAVITY_m_per_s2  # definition
LBF_FT_Nm = LBF_N * FOOT_m  # definition
LBF_IN_Nm = LBF_N * INCH_m  # definition
KGF_M_Nm = KGF_N  # definition
PSI_Pa = LBF_N / INCH_m**2  # definition
KSI_Pa = 1000 * PSI_Pa  # definition
BAR_Pa = Fraction(100_000)  # definition
LBF_PER_IN_N_per_m = LBF_N / INCH_m  # definition
DEGREE_rad = Fraction(math.pi) / 180  # definition; pi to the precision of a float

STEEL_STIFFNESS_Pa = 30e6 * float(PSI_Pa)  # Young's modulus, 30e6 psi: Engineering ToolBox page 1164, read
SPRING_STEEL_LOWEST_Pa = 77.2e9  # shear modulus, 11.2e6 psi: Machinery's Handbook 31, Table 20 p. 346, read
SPRING_STEEL_HIGHEST_Pa = 82.7e9  # shear modulus of thin music wire, 12.0e6 psi: the same, read
