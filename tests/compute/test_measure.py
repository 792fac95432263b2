"""What people type, row by row: each refusal must be a sentence that says what would have been accepted."""

import time
from math import degrees, isfinite, radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.compute.measure import Quantity, Reading, Refused, read, read_toe

MM = 1e-3
INCH = 0.0254  # m, exact by definition


def length(text: str, default_unit: str = "in", **options: float | bool) -> Reading:
    return read(text, Quantity.LENGTH, default_unit=default_unit, **options)  # type: ignore[arg-type]


def torque(text: str, **options: float | bool) -> Reading:
    return read(text, Quantity.TORQUE, default_unit="lbf·ft", **options)  # type: ignore[arg-type]


def angle(text: str) -> Reading:
    return read(text, Quantity.ANGLE, default_unit="°", signed=True)


@pytest.mark.parametrize(
    "text",
    [
        '12 5/8"',
        "12-5/8 in",
        "12 5/8 in",
        "12⅝ in",
        "12-5/8",
        "12.625 in",
        "1' 0 5/8\"",
        "1 ft 0 5/8",
        "12 5⁄8 in",
    ],
)
def test_every_way_of_writing_twelve_and_five_eighths_is_the_same_number(text: str) -> None:
    assert length(text).value == 0.320675


@pytest.mark.parametrize("text", ["320.675 mm", "32,0675 cm", "0.320675 m"])
def test_metric_and_inch_writing_of_one_length_are_the_same_number(text: str) -> None:
    assert length(text).value == length("12 5/8 in").value


@pytest.mark.parametrize(
    ("text", "value_mm"),
    [
        (".125", 3.175),
        ("3/32", 2.38125),
        ("320.7 mm", 320.7),
        ("32,07 cm", 320.7),
        ("5/4 in", 31.75),
        ("12 in.", 304.8),
        ("1’ 6”", 457.2),
        ("5 thou", 0.127),
        ("1ft 3in", 381.0),
        ("  7 mm\n", 7.0),
    ],
)
def test_reads_lengths_as_the_trade_writes_them(text: str, value_mm: float) -> None:
    assert length(text).value == pytest.approx(value_mm * MM, rel=1e-15)


def test_a_decimal_comma_is_a_decimal_point() -> None:
    assert length("320,7", "mm").value == length("320.7", "mm").value == 0.3207


def test_echo_shows_how_it_was_read_in_both_systems() -> None:
    assert length("12-5/8").read_as == "12 5/8 in = 320.675 mm"
    assert length("320,7", "mm").read_as == "320.7 mm = 12.626 in"
    assert torque("75 ft-lb").read_as == "75 lbf·ft = 101.69 N·m"
    assert angle("1°30'").read_as == "1°30' = 1.5°"


def test_what_was_typed_is_kept_to_the_letter() -> None:
    assert length(' 12-5/8" ').text == ' 12-5/8" '


@pytest.mark.parametrize(
    ("text", "uncertainty_m"),
    [
        ("12 10/16 in", INCH / 32),
        ("12 5/8 in", INCH / 32),  # 10/16 in lowest terms
        ("12 1/2 in", INCH / 32),
        ("12 in", INCH / 2),
        ("3/64 in", INCH / 128),
        ("12.625 in", INCH / 2000),
        ("320.7 mm", 0.05 * MM),
        ("320.70 mm", 0.005 * MM),
        ("320 mm", 0.5 * MM),
        ("1' 0 5/8\"", INCH / 32),
    ],
)
def test_the_writing_implies_its_own_uncertainty(text: str, uncertainty_m: float) -> None:
    assert length(text).uncertainty == pytest.approx(uncertainty_m, rel=1e-12)


def test_the_tool_used_knows_its_resolution_better() -> None:
    assert length("12 5/8 in", resolution=INCH / 16).uncertainty == pytest.approx(INCH / 32)


def test_minutes_are_good_to_half_a_minute_and_counts_are_exact() -> None:
    assert angle("1°15'").uncertainty == pytest.approx(radians(1 / 120))
    assert read("7", Quantity.COUNT, default_unit="").uncertainty == 0


@pytest.mark.parametrize(
    "text", ["13.1/4", "13 - 1/4", "13/1/4", "1/4/2", "13 5/4", "13 4/4", "1/0", "0/0", "13 1/0"]
)
def test_refuses_broken_fractions(text: str) -> None:
    with pytest.raises(Refused):
        length(text)


@pytest.mark.parametrize("text", ["5/7 in", "12 1/3", "1' 0 1/10\""])
def test_refuses_parts_of_an_inch_that_no_rule_has(text: str) -> None:
    with pytest.raises(Refused, match="inch rule"):
        length(text)


def test_a_fraction_in_a_millimetre_field_is_asked_about() -> None:
    with pytest.raises(Refused, match=r"type 12 5/8 in, or 12\.625 mm"):
        length("12-5/8", "mm")


@pytest.mark.parametrize("text", ["NaN", "nan", "inf", "-Infinity", "true", "[5]", '{"v":5}'])
def test_refuses_what_is_no_figure(text: str) -> None:
    with pytest.raises(Refused, match="does not start with a figure"):
        length(text)


@pytest.mark.parametrize("text", ["1e309", "1e400", "1e-400", "1e10000000", "2E3"])
def test_refuses_exponents_at_once(text: str) -> None:
    started = time.process_time()
    with pytest.raises(Refused, match="without an exponent"):
        length(text)
    assert time.process_time() - started < 0.01


@pytest.mark.parametrize("text", ["1_000", "1 000", "1'000", "1.234,5", "1,234.5", "12 345 678"])
def test_refuses_thousands_set_apart_and_says_how_to_write_them(text: str) -> None:
    with pytest.raises(Refused, match="Thousands"):
        length(text)


@pytest.mark.parametrize("text", ["1,2,3", "12.", "1..5", "1.2.3"])
def test_refuses_more_than_one_decimal_mark_or_one_without_digits(text: str) -> None:
    with pytest.raises(Refused, match="One decimal mark"):
        length(text)


def test_one_comma_and_three_digits_is_a_decimal_that_is_asked_about() -> None:
    reading = length("1,234", "mm")

    assert reading.value == pytest.approx(1.234 * MM)
    assert reading.read_as.startswith("1.234 mm")
    assert "not as thousands" in (reading.implausible or "")


def test_one_point_and_three_digits_is_a_decimal_and_the_band_asks() -> None:
    reading = length("1.234", "mm", lowest=0.1, highest=0.6)

    assert reading.value == pytest.approx(1.234 * MM)
    assert "outside the usual 100 to 600 mm" in (reading.implausible or "")


@pytest.mark.parametrize("text", ["٣٣٦٫٥", "३३६", "３３６．５", "5²", "Ⅻ", "𝟓"])
def test_refuses_any_digits_but_the_plain_ones(text: str) -> None:
    with pytest.raises(Refused, match="digits 0 to 9"):
        length(text)


def test_refuses_a_length_below_zero_but_reads_camber_with_either_minus() -> None:
    with pytest.raises(Refused, match="below zero"):
        length("-5")

    assert angle("-5").value == angle("−5").value == pytest.approx(radians(-5))


def test_minus_zero_is_zero() -> None:
    reading = length("-0")

    assert str(reading.value) == "0.0"
    assert reading.read_as == "0 in = 0 mm"


@pytest.mark.parametrize(
    ("text", "quantity", "unit", "named"),
    [
        ("5 Nm", Quantity.LENGTH, "in", "Nm is the unit of a torque"),
        ("5 mm", Quantity.TORQUE, "lbf·ft", "mm is the unit of a length"),
        ("5 lb", Quantity.TORQUE, "lbf·ft", "lb is the unit of a force or a mass"),
        ("5 °", Quantity.LENGTH, "in", "° is the unit of an angle"),
        ("5 foo", Quantity.LENGTH, "in", "foo is not a unit known here"),
        ("5 mm", Quantity.COUNT, "", "mm is the unit of a length"),
        ("7 pieces", Quantity.COUNT, "", "No unit here"),
    ],
)
def test_refuses_the_wrong_unit_and_names_what_is_wanted(
    text: str, quantity: Quantity, unit: str, named: str
) -> None:
    with pytest.raises(Refused) as refusal:
        read(text, quantity, default_unit=unit)

    assert named in str(refusal.value)
    assert "like" in str(refusal.value)


@pytest.mark.parametrize(
    "text",
    [
        "75 ft-lb",
        "75 lbf·ft",
        "75 ft.lbs",
        "75 lb ft",
        "75 LB-FT",
        "75 ft lbf",
        "75lbft",
        "75 ft. lbs.",
        "75",
    ],
)
def test_every_way_of_writing_pound_feet_is_the_same_torque(text: str) -> None:
    assert torque(text).value == pytest.approx(101.686, abs=0.001)


@pytest.mark.parametrize(
    ("text", "torque_Nm"),
    [
        ("95 lb-ft", 128.80),
        ("129 Nm", 129.0),
        ("129 N·m", 129.0),
        ("129 N m", 129.0),
        ("1140 lb-in", 128.80),
        ("13 kgf m", 127.49),
        ("13 m·kgf", 127.49),
        ("75 in-lb", 8.474),
    ],
)
def test_reads_torques_as_the_trade_writes_them(text: str, torque_Nm: float) -> None:
    assert torque(text).value == pytest.approx(torque_Nm, abs=0.005)


def test_inch_pounds_where_foot_pounds_are_due_are_asked_about_with_both_shown() -> None:
    doubt = torque("75 in-lb", lowest=60.0, highest=150.0).implausible

    assert doubt is not None
    assert "75 lbf·in = 8.47 N·m" in doubt
    assert "75 lbf·ft would fit" in doubt


def test_zero_torque_is_refused_always_and_zero_length_where_it_makes_no_sense() -> None:
    with pytest.raises(Refused, match="torque of 0"):
        torque("0")
    with pytest.raises(Refused, match="choose that"):
        length("0", zero=False)

    assert length("0").value == 0


@pytest.mark.parametrize("text", ["7500 Nm", "0.75 Nm"])
def test_a_slipped_digit_is_asked_about_with_the_band_shown(text: str) -> None:
    doubt = torque(text, lowest=20.0, highest=400.0).implausible

    assert doubt is not None
    assert "outside the usual 14.75 to 295.02 lbf·ft" in doubt
    assert "Confirm" in doubt


def test_the_ends_of_the_band_are_inside() -> None:
    band = {"lowest": 0.1, "highest": 0.6}

    assert length("100 mm", "mm", **band).implausible is None
    assert length("600 mm", "mm", **band).implausible is None
    assert length("99.9 mm", "mm", **band).implausible is not None
    assert length("600.1 mm", "mm", **band).implausible is not None


@pytest.mark.parametrize(
    ("options", "words"), [({"lowest": 0.1}, "at least 100 mm"), ({"highest": 0.001}, "at most 1 mm")]
)
def test_a_band_open_at_one_end_says_so(options: dict[str, float], words: str) -> None:
    assert words in (length("50 mm", "mm", **options).implausible or "")


def test_a_bare_figure_that_would_fit_both_units_is_asked_about() -> None:
    either = {"lowest": 0.001, "highest": 2.0}

    assert "12 mm would fit too" in (length("12", **either).implausible or "")
    assert length("12 in", **either).implausible is None
    assert length("12", lowest=0.1, highest=0.6).implausible is None


@pytest.mark.parametrize("text", ["", "   ", "-", "n/a", "?", "same", "ok", "N/A", "--"])
def test_nothing_to_read_is_refused_with_the_way_out(text: str) -> None:
    with pytest.raises(Refused, match="could not be measured"):
        length(text)


@pytest.mark.parametrize("text", ["320.7 mm 5", "320.7 or 321", "1 2", "5 mm 3 mm"])
def test_more_than_one_figure_is_refused(text: str) -> None:
    with pytest.raises(Refused, match="more than one figure"):
        length(text)


@pytest.mark.parametrize("text", ["~320", ">320", "<5", "=1+1", "${7*7}", "{{7*7}}", "abc"])
def test_anything_before_the_figure_is_refused(text: str) -> None:
    with pytest.raises(Refused, match="does not start with a figure"):
        length(text)


@pytest.mark.parametrize("text", ["5; DROP TABLE capture", "5<!--", "5 mm;", "1+1"])
def test_code_is_no_unit(text: str) -> None:
    with pytest.raises(Refused):
        length(text)


@pytest.mark.parametrize("text", ["5\u200b", "\u202e5", "5\u00a0mm", "5\tmm", "5\nmm", "5\x00", "\ud8005"])
def test_invisible_characters_inside_are_refused(text: str) -> None:
    with pytest.raises(Refused, match="invisible"):
        length(text)


@pytest.mark.parametrize("text", ["1" * 400, "1" * 1_000_000, "0" * 4301 + "1", " " * 50 + "5"])
def test_long_text_is_refused_before_it_is_read(text: str) -> None:
    started = time.process_time()
    with pytest.raises(Refused, match="longer than 40"):
        length(text)
    assert time.process_time() - started < 0.01


@pytest.mark.parametrize("text", ["7", "9"])
def test_threads_showing_are_counted(text: str) -> None:
    assert read(text, Quantity.COUNT, default_unit="").value == float(text)


@pytest.mark.parametrize("text", ["7.5", "7 1/2", "1/3"])
def test_half_a_thing_is_no_count(text: str) -> None:
    with pytest.raises(Refused, match="whole number"):
        read(text, Quantity.COUNT, default_unit="")


@pytest.mark.parametrize("text", ["1°30'", "1.5°", "1,5 deg", "90'", "1 deg 30 min", "1 1/2°", "1°30′"])
def test_every_way_of_writing_a_degree_and_a_half_is_the_same_angle(text: str) -> None:
    assert degrees(angle(text).value) == pytest.approx(1.5, rel=1e-12)


def test_a_minus_before_degrees_and_minutes_takes_both() -> None:
    assert degrees(angle("-1°15'").value) == pytest.approx(-1.25)
    assert degrees(angle("-0°45'").value) == pytest.approx(-0.75)


@pytest.mark.parametrize("text", ["1°75'", "1°60'"])
def test_sixty_minutes_and_more_after_a_degree_are_refused(text: str) -> None:
    with pytest.raises(Refused, match="0 to 59"):
        angle(text)


def test_twelve_inches_and_more_after_the_feet_are_refused() -> None:
    assert length("1' 11 3/4\"").value == pytest.approx(23.75 * INCH)
    with pytest.raises(Refused, match="foot or more"):
        length("1' 12\"")


def test_feet_run_into_inches_without_a_mark_are_refused() -> None:
    with pytest.raises(Refused):
        length("1'6")


@pytest.mark.parametrize("text", ["123456", "123456 km"])
def test_odometer_reads_whole_figures(text: str) -> None:
    assert read(text, Quantity.DISTANCE, default_unit="km").value == 123_456_000


@pytest.mark.parametrize("text", ["12O456", "123,456", "123.456", "123 456"])
def test_odometer_refuses_letters_and_marks_between_thousands(text: str) -> None:
    with pytest.raises(Refused):
        read(text, Quantity.DISTANCE, default_unit="km")


@pytest.mark.parametrize(
    ("text", "toe_mm"),
    [
        ("1/16 in in", 1.5875),
        ('1/16" in', 1.5875),
        ("1/16 toe-in", 1.5875),
        ("1/16 toe in", 1.5875),
        ("+1/16", 1.5875),
        ("1/16 out", -1.5875),
        ("1.5 mm out", -1.5),
        ("1.5 mm toe-out", -1.5),
        ("-1/16 in", -1.5875),
        ("−1/16", -1.5875),
        ("0", 0.0),
        ("0 mm", 0.0),
    ],
)
def test_toe_is_positive_inward_by_word_or_by_sign(text: str, toe_mm: float) -> None:
    assert read_toe(text, "in").value == pytest.approx(toe_mm * MM, abs=1e-12)


@pytest.mark.parametrize("text", ["1/16", "1/16 in", "1.5 mm", "0.2°"])
def test_toe_without_in_or_out_is_asked_about_never_guessed(text: str) -> None:
    with pytest.raises(Refused, match="toe-in or toe-out"):
        read_toe(text, "in")


def test_toe_says_in_or_out_or_has_a_sign_but_not_both() -> None:
    with pytest.raises(Refused, match="not both"):
        read_toe("-1/16 out", "in")


def test_toe_may_be_an_angle() -> None:
    reading = read_toe("0.2° out", "in")

    assert reading.quantity is Quantity.ANGLE
    assert degrees(reading.value) == pytest.approx(-0.2)
    assert read_toe("10' in", "in").value == pytest.approx(radians(1 / 6))
    assert read_toe("-0.2", "°").quantity is Quantity.ANGLE
    assert read_toe("2 mm in", "°").quantity is Quantity.LENGTH


def test_toe_echo_says_which_way() -> None:
    assert read_toe("-1/16", "in").read_as == "1/16 in = 1.5875 mm toe-out"
    assert read_toe("1/16 in in", "in").read_as == "1/16 in = 1.5875 mm toe-in"
    assert read_toe("0", "in").read_as == "0 in = 0 mm"


def test_toe_of_inches_is_asked_about() -> None:
    assert read_toe("5 in in", "in").implausible is not None
    assert read_toe("1/16 in in", "in").implausible is None


def outcome(text: str, quantity: Quantity, default_unit: str) -> Reading | str:
    """The reading, or the sentence of its refusal."""
    try:
        return read(text, quantity, default_unit=default_unit, signed=True)
    except Refused as refusal:
        return str(refusal)


FIELDS = [
    (Quantity.LENGTH, "in"),
    (Quantity.LENGTH, "mm"),
    (Quantity.ANGLE, "°"),
    (Quantity.TORQUE, "lbf·ft"),
    (Quantity.COUNT, ""),
]
ANY_TEXT = st.text(max_size=45) | st.text(alphabet="0123456789 .,/-'\"°inmNftlb", max_size=16)


@given(ANY_TEXT, st.sampled_from(FIELDS))
@settings(max_examples=600)
def test_any_text_is_read_as_a_finite_figure_or_refused_in_a_sentence(
    text: str, field: tuple[Quantity, str]
) -> None:
    result = outcome(text, *field)

    if isinstance(result, str):
        assert result.endswith((".", "?"))
    else:
        assert isfinite(result.value)
        assert 0 <= result.uncertainty < float("inf")
        assert result.text == text


@given(st.integers(0, 20_000), st.integers(0, 4))
@settings(max_examples=300)
def test_a_decimal_means_the_same_with_point_and_comma(digits: int, decimals: int) -> None:
    text = f"{digits / 10**decimals:.{decimals}f}"

    assert (
        length(text, "mm").value
        == length(text.replace(".", ","), "mm").value
        == pytest.approx(digits / 10**decimals * MM, rel=1e-15)
    )
