"""A generic torque where there is no maker's value: proposed from grade and thread, never written unasked."""

from dataclasses import dataclass

from server.compute.grade import GRADES, Finish, UnknownGrade
from server.compute.preload import REUSED, GenericTorque, generic_torque
from server.compute.refusal import Refused
from server.compute.show import System, show_both, usual_unit
from server.compute.thread import thread_size
from server.compute.unit import Quantity, plain, unit_named
from server.shop.refusal import Refusal

FINISHES = {
    "black": (Finish.BLACK, "Plain or black, dry"),
    "zinc": (Finish.ZINC, "Zinc, dry"),
    "cadmium": (Finish.CADMIUM, "Cadmium, dry"),
    "lubricated": (Finish.LUBRICATED, "Lubricated"),
}


@dataclass(frozen=True, slots=True)
class Joint:
    """What somebody knows of a fastener, as typed."""

    grade: str
    thread: str
    finish: str


@dataclass(frozen=True, slots=True)
class Proposal:
    """A generic torque, ready to be taken over as a line of the sheet."""

    text: str  # `55 to 85 lbf·ft`, what is offered for the sheet
    scatter: str  # `55 to 115 lbf·ft`, the whole of it
    preload: str  # aimed at
    proof_load: str
    source: str
    worked_out: GenericTorque


def propose(joint: Joint, *, system: System) -> Proposal:
    """The range that grade, thread and finish give.

    Only its lower half is offered: above the middle a bolt with little friction passes its proof load.
    raises  Refusal, with the field, where one of them is not known
    """
    if joint.finish not in FINISHES:
        raise Refusal("Choose the finish of the thread.", field="finish")
    if joint.grade not in GRADES:
        raise Refusal("Choose the grade that stands on the bolt's head.", field="grade")
    finish, finish_name = FINISHES[joint.finish]
    try:
        size = thread_size(joint.thread)
    except Refused as refused:
        raise Refusal(str(refused), field="thread") from refused
    try:
        worked_out = generic_torque(
            grade=joint.grade,
            diameter_m=size.diameter_m,
            pitch_m=size.pitch_m,
            thread=size.thread,
            finish=finish,
        )
    except UnknownGrade as refused:
        raise Refusal(str(refused), field="grade") from refused
    source = (
        f"Generic, not the maker's: {joint.grade}, {size.text}, {finish_name.lower()}, "
        f"{REUSED:.0%} of proof load. {worked_out.torque.source}."
    )
    middle, half = worked_out.torque.value, worked_out.torque.uncertainty
    return Proposal(
        text=_range(middle - half, middle, system),
        scatter=_range(middle - half, middle + half, system),
        preload=show_both(worked_out.preload.value, Quantity.FORCE, system=system),
        proof_load=show_both(worked_out.proof_load_N, Quantity.FORCE, system=system),
        source=source,
        worked_out=worked_out,
    )


def _range(low_Nm: float, high_Nm: float, system: System) -> str:
    unit = unit_named(usual_unit(Quantity.TORQUE, system), Quantity.TORQUE)
    decimals = 0 if unit.of(low_Nm) >= 10 else 1
    low, high = (plain(unit.of(end), decimals) for end in (low_Nm, high_Nm))
    return f"{low} to {high}{unit.tail}"
