"""What a wrench is to be set to, with or without an adapter on it."""

from dataclasses import dataclass

from server.compute import measure
from server.compute.refusal import Refused
from server.compute.show import System, show, usual_unit
from server.compute.unit import Quantity
from server.compute.wrench import setting_Nm
from server.shop.refusal import Refusal
from server.shop.tightening import Tightening


@dataclass(frozen=True, slots=True)
class Adapter:
    """A crowfoot or extension as typed: grip to square, square to fastener, the angle between them."""

    handle: str = ""
    reach: str = ""
    angle: str = ""


@dataclass(frozen=True, slots=True)
class Setting:
    """What to set, in the shop's own units and in the others."""

    own: str  # 60 to 75 lbf·ft
    other: str  # 81.3 to 102 N·m


def setting(tightening: Tightening, stage: int, adapter: Adapter, *, system: System) -> Setting:
    """The setting for a stage, or its range; raises Refusal with the field where a length cannot be read.

    For the last stage of a slotted nut it is the lower end alone: the rest is for going on to the slot.
    """
    ends_Nm, share = tightening.window_Nm(stage), 1.0
    if tightening.is_castle and stage == len(tightening.stages):
        ends_Nm = (ends_Nm[0], ends_Nm[0])
    if adapter.handle or adapter.reach:
        handle_m = _length(adapter.handle, "handle", system)
        reach_m = _length(adapter.reach, "reach", system, signed=True)
        angle_rad = _read(adapter.angle or "0°", Quantity.ANGLE, "angle", "°", signed=True)
        try:
            share = setting_Nm(torque_Nm=1.0, handle_m=handle_m, adapter_m=reach_m, angle_rad=angle_rad)
        except Refused as refused:
            raise Refusal(str(refused), field="reach") from refused
    low_Nm, high_Nm = (end * share for end in ends_Nm)
    other: System = "metric" if system == "inch" else "inch"
    return Setting(_range(low_Nm, high_Nm, system), _range(low_Nm, high_Nm, other))


def _range(low_Nm: float, high_Nm: float, system: System) -> str:
    low, high = (show(end, Quantity.TORQUE, system=system) for end in (low_Nm, high_Nm))
    figure, _, unit = low.partition(" ")
    if low == high:
        return low
    return f"{figure} to {high}" if high.endswith(f" {unit}") else f"{low} to {high}"


def _length(text: str, field: str, system: System, *, signed: bool = False) -> float:
    return _read(text, Quantity.LENGTH, field, usual_unit(Quantity.LENGTH, system), signed=signed)


def _read(text: str, quantity: Quantity, field: str, unit: str, *, signed: bool) -> float:
    try:
        return measure.read(text, quantity, default_unit=unit, signed=signed).value
    except measure.Refused as refused:
        raise Refusal(str(refused), field=field) from refused
