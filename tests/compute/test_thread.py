"""Sizes against ASME B1.1 and ISO 261, as every thread chart prints them (common practice)."""

import pytest

from server.compute.preload import Thread, stress_area_m2
from server.compute.refusal import Refused
from server.compute.thread import thread_size

# designation, diameter [mm], pitch [mm], tensile stress area [mm²]; common practice, printed in any chart
CHART = [
    ("5/16-18", 7.9375, 25.4 / 18, 33.8),
    ("1/2-20", 12.7, 1.27, 103.2),
    ("5/8-18", 15.875, 25.4 / 18, 165.2),
    ("M12x1.5", 12.0, 1.5, 88.1),
    ("M10x1.25", 10.0, 1.25, 61.2),
]


@pytest.mark.parametrize(("text", "diameter_mm", "pitch_mm", "area_mm2"), CHART)
def test_a_designation_gives_the_sizes_of_the_chart(text, diameter_mm, pitch_mm, area_mm2):
    size = thread_size(text)

    assert size.diameter_m * 1000 == pytest.approx(diameter_mm)
    assert size.pitch_m * 1000 == pytest.approx(pitch_mm)
    area_m2 = stress_area_m2(diameter_m=size.diameter_m, pitch_m=size.pitch_m, thread=size.thread)
    assert area_m2 * 1e6 == pytest.approx(area_mm2, abs=0.1)


@pytest.mark.parametrize("text", ["m12 × 1,5", " M12x1.5 ", "M12X1.5".lower()])
def test_a_metric_thread_may_be_written_in_several_ways(text):
    assert thread_size(text).pitch_m == pytest.approx(0.0015)
    assert thread_size(text).thread is Thread.METRIC


@pytest.mark.parametrize(
    "text", ["", "1/2", "M12", "1/0-20", "1/2-0", "M0x1", "M12x0", "M2x9", "١/٢-20", "1/2-20-2", "1" * 99]
)
def test_what_is_no_thread_is_refused(text):
    with pytest.raises(Refused):
        thread_size(text)


# Torques that common workshop charts print for these sizes, dry, mild to strong bolts (common practice).
@pytest.mark.parametrize(
    ("thread", "torque_Nm"),
    [("1/2-20", 40), ("1/2-20", 140), ("5/16-18", 11), ("5/16-18", 34), ("M12x1.5", 80)],
)
def test_a_torque_of_the_charts_is_plausible(thread, torque_Nm):
    low, high = thread_size(thread).plausible_Nm

    assert low < torque_Nm < high


@pytest.mark.parametrize("torque_Nm", [8.5, 750, 7500])
def test_a_slip_of_unit_or_digit_on_a_half_inch_bolt_is_not_plausible(torque_Nm):
    low, high = thread_size("1/2-20").plausible_Nm

    assert not low <= torque_Nm <= high


def test_what_is_plausible_runs_from_half_the_softest_to_twice_the_hardest() -> None:
    # 1/2-20: 0.1599 in², read (Shigley 9th ed. Table 8-2); K 0.16 and 0.30, read (Table 8-15);
    # 33 ksi and 970 MPa, read (Tables 8-9, 8-11); 75 % of it
    low, high = thread_size("1/2-20").plausible_Nm
    area_m2, diameter_m = 0.1599 * 0.0254**2, 0.0127

    assert low == pytest.approx(0.16 * 0.75 * 33 * 6.894757e6 * area_m2 * diameter_m / 2, rel=1e-3)
    assert high == pytest.approx(0.30 * 0.75 * 970e6 * area_m2 * diameter_m * 2, rel=1e-3)
