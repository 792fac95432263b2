"""Writing back: what a page shows can be typed in again and means the same."""

from math import radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.compute.measure import Quantity, read
from server.compute.show import nearest_inches, show, show_both, show_made_both, show_range, usual_unit

INCH = 0.0254  # m, exact by definition


@pytest.mark.parametrize(
    ("value", "quantity", "shown"),
    [
        (0.320675, Quantity.LENGTH, "12 5/8 in (320.7 mm)"),
        (0.3207, Quantity.LENGTH, "12 5/8 in + 0.001 in (320.7 mm)"),
        (0.32, Quantity.LENGTH, "12 19/32 in + 0.005 in (320 mm)"),
        (0.00079375, Quantity.LENGTH, "1/32 in (0.79 mm)"),
        (-0.0015875, Quantity.LENGTH, "-1/16 in (-1.59 mm)"),
        (0.0, Quantity.LENGTH, "0 in (0 mm)"),
        (128.80270509, Quantity.TORQUE, "95 lbf·ft (129 N·m)"),
        (8.473862177, Quantity.TORQUE, "75 lbf·in (8.47 N·m)"),
        (1750.0, Quantity.TORQUE, "1291 lbf·ft (1750 N·m)"),
        (radians(0.75), Quantity.ANGLE, "0.75°"),
        (7.0, Quantity.COUNT, "7"),
        (0.18, Quantity.NUMBER, "0.18"),
        (6010.0, Quantity.FORCE, "1351 lbf (6010 N)"),
        (220e3, Quantity.PRESSURE, "31.9 psi (220 kPa)"),
        (586e6, Quantity.STRESS, "85 ksi (586 MPa)"),
        (123_456_000.0, Quantity.DISTANCE, "76712 mi (123456 km)"),
        (900.0, Quantity.MASS, "1984 lb (900 kg)"),
        (61_294.0, Quantity.RATE, "350 lbf/in (61.3 N/mm)"),
        (512.3, Quantity.ENERGY, "378 ft·lbf (512 J)"),
    ],
)
def test_shows_both_systems_the_way_the_trade_writes_them(
    value: float, quantity: Quantity, shown: str
) -> None:
    assert show_both(value, quantity, system="inch") == shown


@pytest.mark.parametrize(
    ("length_in", "inch", "metric"),
    [(3 / 16, "3/16 in", "4.76 mm"), (0.257, "0.257 in", "6.53 mm"), (0.0117, "0.012 in", "0.3 mm")],
)
def test_what_is_made_of_pieces_is_a_fraction_or_thousandths_never_a_sum_of_both(
    length_in: float, inch: str, metric: str
) -> None:
    assert show_made_both(length_in * INCH, system="inch") == f"{inch} ({metric})"
    assert show_made_both(length_in * INCH, system="metric") == f"{metric} ({inch})"


def test_metric_people_see_metric_first() -> None:
    assert show_both(0.320675, Quantity.LENGTH, system="metric") == "320.7 mm (12 5/8 in)"


@pytest.mark.parametrize(
    ("value", "uncertainty", "quantity", "shown"),
    [
        (0.320675, 0.00079375, Quantity.LENGTH, "320.7 mm ± 0.8 mm"),
        (128.8027, 3.2, Quantity.TORQUE, "129 N·m ± 3 N·m"),
        (128.8027, 14.2, Quantity.TORQUE, "129 N·m ± 14 N·m"),
        (radians(0.75), radians(0.05), Quantity.ANGLE, "0.75° ± 0.05°"),
        (61_294.0, 87.6, Quantity.RATE, "61.29 N/mm ± 0.09 N/mm"),
        (0.320675, 0.0, Quantity.LENGTH, "320.7 mm"),
    ],
)
def test_a_figure_is_shown_as_far_as_its_uncertainty_reaches(
    value: float, uncertainty: float, quantity: Quantity, shown: str
) -> None:
    assert show(value, quantity, system="metric", uncertainty=uncertainty) == shown


def test_what_is_left_over_an_inch_fraction_is_dropped_inside_the_uncertainty() -> None:
    assert show(0.3207, Quantity.LENGTH, system="inch", uncertainty=0.0008) == "12 5/8 in ± 0.03 in"


@pytest.mark.parametrize(
    ("low", "high", "quantity", "shown"),
    [
        (60 * 1.3558179483314, 75 * 1.3558179483314, Quantity.TORQUE, "60 to 75 lbf·ft"),
        (14.25 * INCH, 14.25 * INCH, Quantity.LENGTH, "14 1/4 in"),
        (14.25 * INCH, 14.5 * INCH, Quantity.LENGTH, "14 1/4 to 14 1/2 in"),
        (0.0556 * INCH, 0.0556 * INCH, Quantity.LENGTH, "0.0556 in"),
        (14.25 * INCH, 14.51 * INCH, Quantity.LENGTH, "14.25 to 14.51 in"),
    ],
)
def test_a_range_is_shown_in_one_unit_and_its_fractions_only_where_a_rule_has_both(
    low: float, high: float, quantity: Quantity, shown: str
) -> None:
    assert show_range(low, high, quantity, system="inch") == shown


def test_each_system_has_its_usual_unit() -> None:
    assert usual_unit(Quantity.TORQUE, "inch") == "lbf·ft"
    assert usual_unit(Quantity.TORQUE, "metric") == "N·m"


@pytest.mark.parametrize(
    ("inches", "uncertainty", "shown"),
    [
        (32.140625, 0.003, "32 9/64 in ± 0.003 in"),
        (32.140625, 0.3, "32 1/8 in ± 0.3 in"),
        (32.140625, 8.0, "32 in ± 8 in"),
        (32.140625, 300.0, "32 in ± 300 in"),
        (1.8125, 0.06, "1 13/16 in ± 0.06 in"),
    ],
)
def test_fractions_of_an_inch_are_no_finer_than_the_uncertainty(
    inches: float, uncertainty: float, shown: str
) -> None:
    assert show(inches * INCH, Quantity.LENGTH, system="inch", uncertainty=uncertainty * INCH) == shown


@given(st.integers(-64 * 60, 64 * 60))
@settings(max_examples=300)
def test_sixty_fourths_shown_in_inches_read_back_exactly(parts: int) -> None:
    value = parts * INCH / 64

    again = read(show(value, Quantity.LENGTH, system="inch"), Quantity.LENGTH, default_unit="in", signed=True)

    assert again.value == pytest.approx(value, rel=1e-14, abs=1e-15)


@given(st.floats(-1.5, 1.5))
@settings(max_examples=300)
def test_nearest_fraction_and_what_is_left_add_up_and_it_is_small(value: float) -> None:
    inches, rest = nearest_inches(value)

    assert float(inches) * INCH + rest == pytest.approx(value, abs=1e-15)
    assert abs(rest) <= INCH / 128 + 1e-15


ROUND_TRIPS = [
    (Quantity.LENGTH, "mm", 1e-4, 1.5, 5e-5, 5e-6),
    (Quantity.TORQUE, "N·m", 1.0, 900.0, 0.5, 0.005),
    (Quantity.FORCE, "N", 1.0, 50_000.0, 0.5, 0.005),
    (Quantity.RATE, "N/mm", 1e3, 3e5, 500.0, 5.0),
]


@given(st.sampled_from(ROUND_TRIPS), st.floats(0, 1))
@settings(max_examples=300)
def test_a_metric_figure_reads_back_within_what_was_shown(
    trip: tuple[Quantity, str, float, float, float, float], share: float
) -> None:
    quantity, unit, low, high, coarse, fine = trip
    value = low + share * (high - low)

    again = read(show(value, quantity, system="metric"), quantity, default_unit=unit)

    assert abs(again.value - value) <= max(fine, min(coarse, value / 200)) * (1 + 1e-9)
    assert abs(again.value - value) <= again.uncertainty * (1 + 1e-9)


@given(st.floats(-10, 10))
@settings(max_examples=300)
def test_an_angle_reads_back_within_a_hundredth_of_a_degree(value_deg: float) -> None:
    text = show(radians(value_deg), Quantity.ANGLE, system="metric")

    again = read(text, Quantity.ANGLE, default_unit="°", signed=True)

    assert abs(again.value - radians(value_deg)) <= radians(0.005) * (1 + 1e-9)


@pytest.mark.parametrize(
    ("inches", "uncertainty", "shown"),
    [
        (0.188, 0.0005, "0.188 in ± 0.0005 in"),
        (0.15625, 0.0005, "0.156 in ± 0.0005 in"),
        (0.1875, 0.00005, "0.1875 in ± 0.00005 in"),
        (0.18842, 0.001, "0.188 in ± 0.001 in"),
        (0.1875, 0.002, "3/16 in ± 0.002 in"),
    ],
)
def test_what_a_micrometer_measured_is_written_as_it_shows(
    inches: float, uncertainty: float, shown: str
) -> None:
    assert show(inches * INCH, Quantity.LENGTH, system="inch", uncertainty=uncertainty * INCH) == shown
