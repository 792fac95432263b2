"""Which grades and sizes the tables hold."""

import pytest

from server.compute.grade import GRADES, Finish, UnknownGrade, strength


@pytest.mark.parametrize(
    ("grade", "diameter_m", "proof_MPa"),
    [
        ("8.8", 0.016, 580),
        ("8.8", 0.018, 600),
        ("SAE 2", 0.75 * 0.0254, 379.2),
        ("SAE 2", 0.875 * 0.0254, 227.5),
    ],
)
def test_the_line_between_two_size_ranges(grade: str, diameter_m: float, proof_MPa: float) -> None:
    assert strength(grade, diameter_m).proof_Pa == pytest.approx(proof_MPa * 1e6, rel=1e-3)


@pytest.mark.parametrize(("grade", "diameter_m"), [("SAE 5", 0.0286), ("10.9", 0.004), ("8.8", 0.017)])
def test_a_size_outside_the_tables_is_refused(grade: str, diameter_m: float) -> None:
    with pytest.raises(UnknownGrade, match="of that diameter"):
        strength(grade, diameter_m)


def test_an_unknown_grade_is_refused_with_those_there_are() -> None:
    with pytest.raises(UnknownGrade) as refusal:
        strength("grade nine", 0.01)

    assert all(grade in str(refusal.value) for grade in GRADES)


@pytest.mark.parametrize("grade", GRADES)
def test_proof_is_below_yield_and_yield_below_tensile(grade: str) -> None:
    steel = strength(grade, 0.0127)

    assert 0 < steel.proof_Pa < steel.yield_Pa < steel.tensile_Pa


# Shigley 9th ed. Table 8-9 (SAE J429, inch and ksi) and Table 8-11 (ISO 898-1, mm and MPa); the upper end
# of 8.8 at 16 mm is ISO's own. Read, but for the classes 8.8 above 16 mm and 12.9, which are from memory.
TABLE = [
    ("SAE 1", 0.25, 1.5, 33, 60, 36),
    ("SAE 2", 0.25, 0.75, 55, 74, 57),
    ("SAE 2", 0.875, 1.5, 33, 60, 36),
    ("SAE 5", 0.25, 1.0, 85, 120, 92),
    ("SAE 7", 0.25, 1.5, 105, 133, 115),
    ("SAE 8", 0.25, 1.5, 120, 150, 130),
    ("8.8", 1.6, 16, 580, 800, 640),
    ("8.8", 18, 36, 600, 830, 660),
    ("9.8", 1.6, 16, 650, 900, 720),
    ("10.9", 5, 36, 830, 1040, 940),
    ("12.9", 1.6, 36, 970, 1220, 1100),
]


@pytest.mark.parametrize(("grade", "least", "most", "proof", "tensile", "yield_"), TABLE)
def test_each_grade_holds_from_its_least_to_its_largest_size(
    grade: str, least: float, most: float, proof: float, tensile: float, yield_: float
) -> None:
    size_m, stress_Pa = (0.0254, 6.894757e6) if grade.startswith("SAE") else (0.001, 1e6)

    for size in (least, most):
        steel = strength(grade, size * size_m)
        figures = [steel.proof_Pa, steel.tensile_Pa, steel.yield_Pa]
        assert figures == pytest.approx([one * stress_Pa for one in (proof, tensile, yield_)], rel=1e-6)
    for size in (least * 0.99, most * 1.01):
        with pytest.raises(UnknownGrade):
            strength(grade, size * size_m)


def test_a_lubricated_thread_scatters_by_a_quarter_and_any_other_by_a_third_and_more() -> None:
    # J. Failure Analysis and Prevention 2019, doi 10.1007/s11668-019-00693-z, read
    scatter = {finish.name: finish.scatter for finish in Finish}

    assert scatter == {"BLACK": 0.35, "ZINC": 0.35, "LUBRICATED": 0.25, "CADMIUM": 0.35}
