from datetime import UTC, datetime

from server.store.tables import Capture, Target
from server.web.wording import as_column, figured, torque_range

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
THOU_m = 25.4e-6


def captured(value: float | None, uncertainty: float | None, quantity: str = "length") -> Capture:
    return Capture(
        client_id="a" * 16,
        job_id=1,
        step_id=1,
        key="pack.front",
        place="LF",
        kind="measurement",
        value=value,
        uncertainty=uncertainty,
        quantity=quantity,
        person_id=1,
        at=NOW,
    )


def test_how_far_off_a_figure_may_be_is_written_as_a_decimal_not_as_a_fraction_with_a_rest() -> None:
    column = as_column(captured(203 * THOU_m, 0.5 * THOU_m), "inch")

    assert (column.text, column.spread, column.other) == ("0.203 in", "± 0.0005 in", "5.156 mm")


def test_a_spread_too_small_for_the_usual_decimals_is_not_written_as_nothing() -> None:
    column = as_column(captured(0.0130900, 0.0000873, "angle"), "inch")

    assert column.spread == "± 0.005°"


def test_an_exact_figure_has_no_spread_and_a_missing_one_no_column() -> None:
    assert as_column(captured(8, 0, "count"), "inch").spread == ""
    assert as_column(captured(None, None), "inch") is None
    assert as_column(None, "inch") is None


def test_a_target_leads_to_its_why() -> None:
    target = Target(id=7, job_id=3, key="camber", place="LF", value=0.01, quantity="angle", says="", at=NOW)

    assert as_column(target, "metric").href == "/jobs/3/targets#target-7"


def test_a_torque_window_reads_in_both_systems() -> None:
    assert torque_range((81.349, 101.686), "inch") == "60 to 75 lbf·ft (81 to 102 N·m)"
    assert torque_range((100.0, 120.0), "metric") == "100 to 120 N·m (73.8 to 88.5 lbf·ft)"


def test_a_fraction_stays_with_its_whole_and_is_set_small():
    assert figured("12 5/8 in") == ('<span class="whole">12 <span class="fraction">5/8</span></span> in')
    assert figured("-1/16 in") == '<span class="whole">-<span class="fraction">1/16</span></span> in'
    assert figured("320.7 mm") == "320.7 mm"
    assert figured("<b>") == "&lt;b&gt;"
