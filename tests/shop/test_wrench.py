from dataclasses import replace
from math import cos, radians

import pytest

from server.compute.wrench import setting_Nm
from server.shop.refusal import Refusal
from server.shop.tightening import Tightening
from server.shop.wrench import Adapter, Setting, setting
from server.store.tables import Spec
from tests.shop.conftest import library

LBF_FT_Nm = 1.3558179483  # NIST SP 811 (2008), appendix B.8: pound-force foot to newton metre


def tightening(low_Nm, high_Nm, name="caliper-bolt"):
    spec = Spec(client_id="x", vehicle_id=1, key="x", text="", quantity="torque", source="", person_id=1)
    spec.low, spec.high = low_Nm, high_Nm
    return Tightening(library()["coil-on-lower-arm"].fastener(name), "torque", spec, ())


PENDING = tightening(60 * LBF_FT_Nm, 75 * LBF_FT_Nm)


def test_without_an_adapter_the_wrench_is_set_to_the_window_in_both_systems_the_shops_own_first():
    assert setting(PENDING, 1, Adapter(), system="inch") == Setting("60 to 75 lbf·ft", "81.3 to 102 N·m")
    assert setting(PENDING, 1, Adapter(), system="metric") == Setting("81.3 to 102 N·m", "60 to 75 lbf·ft")


def test_each_stage_has_its_own_setting():
    nuts = tightening(60 * LBF_FT_Nm, 75 * LBF_FT_Nm, "wheel-nut")

    assert setting(nuts, 1, Adapter(), system="inch").own == "30 to 37.5 lbf·ft"
    assert setting(nuts, 2, Adapter(), system="inch").own == "60 to 75 lbf·ft"


def test_a_slotted_nut_is_set_to_the_lower_end_and_goes_on_to_its_slot_from_there():
    nut = tightening(60 * LBF_FT_Nm, 75 * LBF_FT_Nm, "lower-joint-nut")
    in_two = replace(nut, fastener=nut.fastener.model_copy(update={"stages": (0.5, 1.0)}))

    assert setting(nut, 1, Adapter(), system="inch").own == "60 lbf·ft"
    assert setting(in_two, 1, Adapter(), system="inch").own == "30 to 37.5 lbf·ft"
    assert (
        setting(in_two, 2, Adapter("400 mm", "50 mm"), system="inch").own == "53.3 lbf·ft"
    )  # 60 · 400 / 450


def test_a_window_with_one_end_is_one_figure():
    assert setting(tightening(100.0, 100.0004), 1, Adapter(), system="metric").own == "100 N·m"


@pytest.mark.parametrize(
    ("adapter", "share"),
    [
        # S = T · L / (L + E · cos a): US Army TM 1-1500-204-23-9, ch. 8, with L = 400 mm, worked by hand.
        (Adapter("400 mm", "50 mm", "0°"), 400 / 450),
        (Adapter("400 mm", "50 mm"), 400 / 450),
        (Adapter("400 mm", "−50 mm"), 400 / 350),
        (Adapter("400 mm", "50 mm", "90°"), 1.0),
        (Adapter("400 mm", "50 mm", "60°"), 400 / 425),
        (Adapter("400 mm", "50 mm", "-60"), 400 / 425),
        (Adapter("400 mm", "50 mm", "180°"), 400 / 350),
    ],
)
def test_an_adapter_changes_the_setting_by_its_reach(adapter, share):
    low, high = (round(end * share, 1) for end in (60, 75))
    shown = f"{low:g} to {high:g} lbf·ft"

    assert setting(PENDING, 1, adapter, system="inch").own == shown


@pytest.mark.parametrize("angle_deg", [0, 30, 45, 90, 135])
def test_the_setting_agrees_with_the_bench(angle_deg):
    adapter = Adapter("18 in", "2 1/4 in", f"{angle_deg}°")
    worked_out = setting_Nm(
        torque_Nm=75 * LBF_FT_Nm, handle_m=18 * 0.0254, adapter_m=2.25 * 0.0254, angle_rad=radians(angle_deg)
    )

    shown = setting(PENDING, 1, adapter, system="metric").own

    assert float(shown.split(" to ")[1].split()[0]) == pytest.approx(worked_out, rel=0.005)  # three figures
    assert worked_out == pytest.approx(75 * LBF_FT_Nm * 18 / (18 + 2.25 * cos(radians(angle_deg))))


def test_lengths_without_a_unit_are_meant_in_the_shops_own():
    assert (
        setting(PENDING, 1, Adapter("16", "2"), system="inch").own
        == setting(PENDING, 1, Adapter("16 in", "2 in"), system="inch").own
    )
    assert (
        setting(PENDING, 1, Adapter("400", "50"), system="metric").own
        == setting(PENDING, 1, Adapter("400 mm", "50 mm"), system="metric").own
    )


@pytest.mark.parametrize(
    ("adapter", "field"),
    [
        (Adapter("", "50 mm"), "handle"),
        (Adapter("400 mm", ""), "reach"),
        (Adapter("long", "50 mm"), "handle"),
        (Adapter("-400 mm", "50 mm"), "handle"),
        (Adapter("400 Nm", "50 mm"), "handle"),
        (Adapter("400 mm", "short"), "reach"),
        (Adapter("400 mm", "50 mm", "askew"), "angle"),
        (Adapter("400 mm", "50 mm", "5 mm"), "angle"),
        (Adapter("0 mm", "50 mm"), "reach"),
        (Adapter("400 mm", "-400 mm"), "reach"),
        (Adapter("400 mm", "500 mm", "180°"), "reach"),
    ],
)
def test_what_cannot_be_read_or_leaves_no_reach_is_refused_beside_its_field(adapter, field):
    with pytest.raises(Refusal) as refused:
        setting(PENDING, 1, adapter, system="inch")

    assert refused.value.field == field
    assert refused.value.sentence


def test_an_angle_alone_is_no_adapter():
    assert setting(PENDING, 1, Adapter(angle="45°"), system="inch") == setting(
        PENDING, 1, Adapter(), system="inch"
    )


def test_without_a_line_on_the_spec_sheet_there_is_no_setting():
    bare = Tightening(PENDING.fastener, "torque", None, ())

    with pytest.raises(Refusal, match="Write it there first"):
        setting(bare, 1, Adapter(), system="inch")
