"""Which grades and sizes the tables hold."""

import pytest

from server.compute.grade import GRADES, UnknownGrade, strength


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
