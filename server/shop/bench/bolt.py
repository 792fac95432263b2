"""What a torque does to a bolt, and how much of a bolt has to hold."""

from server.compute.answer import Answer, Known
from server.compute.grade import GRADES, Strength, UnknownGrade, strength
from server.compute.preload import load_N, preload_N, stress_area_m2, tension_Pa
from server.compute.thread import ThreadSize, least_protrusion_m, least_tapped_m
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result, Sign
from server.shop.bench.figure import a_torque
from server.shop.bench.word import Choice, Thread
from server.shop.generic_torque import FINISHES
from server.shop.refusal import Refusal

NOT_THE_MAKERS = Sign("warning", "From tables, not the maker's figures. The manual comes first.")
GRADE = Choice(
    name="grade",
    label="Grade on the bolt's head",
    options=tuple((grade, grade) for grade in GRADES),
    example="SAE 5",
)
THREAD = Thread(name="thread", label="Thread", example="1/2-20", help="1/2-20 or M12x1.5.")
FINISH = Choice(
    name="finish",
    label="Finish",
    options=tuple((value, words) for value, (_, words) in FINISHES.items()),
    example="zinc",
)
_PROTRUDES = "US Army TB 43-0218"


def steel_of(grade: str, thread: ThreadSize) -> Strength:
    """The grade's strength at that size; raises Refusal beside the grade."""
    try:
        return strength(grade, thread.diameter_m)
    except UnknownGrade as unknown:
        raise Refusal(str(unknown), field="grade") from unknown


def area_of(thread: ThreadSize) -> float:
    """The area that carries the load [m²]."""
    return stress_area_m2(diameter_m=thread.diameter_m, pitch_m=thread.pitch_m, thread=thread.thread)


def _preload(*, torque: Known, grade: str, thread: ThreadSize, finish: str) -> Result:
    steel, area_m2, kind = steel_of(grade, thread), area_of(thread), FINISHES[finish][0]
    # T / (K·d): the nut factor's share is the preload's share, to first order.
    factor = Known(kind.nut_factor, kind.nut_factor * kind.scatter)
    pull = preload_N.answer(nut_factor=factor, torque_Nm=torque, diameter_m=thread.diameter_m)
    stress = tension_Pa.answer(preload_N=pull.known, area_m2=area_m2)
    proof = load_N.answer(stress_Pa=steel.proof_Pa, area_m2=area_m2)
    return Result(
        lines=(
            Line("preload_N", "The bolt is pulled with", pull),
            Line("tension_Pa", "Stress in its thread", stress),
            Line("proof_load_N", "It bears, by its proof load", proof),
        ),
        verdict=_verdict(pull, proof.value),
        generic=True,
    )


def _verdict(pull: Answer, proof_N: float) -> str:
    if pull.value > proof_N:
        return "past its proof load"
    if pull.value + pull.uncertainty > proof_N:
        return "it may pass its proof load"
    return "within its proof load"


def _holds(*, thread: ThreadSize) -> Result:
    beyond, tapped = (
        Answer(length_m, 0.0, Quantity.LENGTH, how, _PROTRUDES, ())
        for length_m, how in ((least_protrusion_m(thread), "2 · P"), (least_tapped_m(thread), "1.5 · d"))
    )
    return Result(
        lines=(
            Line("beyond_nut_m", "Beyond a nut, at least", beyond),
            Line("tapped_m", "Into a tapped hole in softer metal, at least", tapped),
        ),
        big=2,
    )


CALCULATORS = (
    Calculator(
        name="bolt-preload",
        title="What a torque does to a bolt",
        subject="Torque",
        lead="How hard the bolt is pulled at a torque, and how near that is to what it bears.",
        sign=NOT_THE_MAKERS,
        fields=(a_torque(name="torque", label="Torque", example="75 lbf·ft"), GRADE, THREAD, FINISH),
        work=_preload,
    ),
    Calculator(
        name="bolt-length",
        title="Is the bolt long enough?",
        subject="Torque",
        lead="How much of a bolt has to stand out of its nut, or go into a tapped hole.",
        fields=(THREAD,),
        work=_holds,
    ),
)
