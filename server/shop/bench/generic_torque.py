"""A torque from the tables where the maker gives none."""

from dataclasses import replace

from server.compute.answer import Answer, Known
from server.compute.preload import (
    GENERIC,
    PERMANENT,
    REUSED,
    RUBBER,
    friction_torque_Nm,
    generic_torque,
    load_N,
    nut_factor,
    torque_Nm,
    yield_preload_N,
)
from server.compute.preload import Thread as ThreadStandard
from server.compute.thread import ThreadSize
from server.compute.unit import Quantity
from server.shop.bench.bolt import FINISH, GRADE, THREAD, area_of, steel_of
from server.shop.bench.calculator import Calculator, Line, Result, Sign
from server.shop.bench.figure import a_length, a_number
from server.shop.bench.word import Choice
from server.shop.generic_torque import FINISHES
from server.shop.refusal import Refusal

USES = {"again": ("Will come apart again", REUSED), "permanent": ("Stays together", PERMANENT)}


def _generic(*, grade: str, thread: ThreadSize, finish: str, use: str | None) -> Result:
    steel_of(grade, thread)
    found = generic_torque(
        grade=grade,
        diameter_m=thread.diameter_m,
        pitch_m=thread.pitch_m,
        thread=thread.thread,
        finish=FINISHES[finish][0],
        fraction=USES[use or "again"][1],
    )
    proof = Answer(
        found.proof_load_N, 0.0, Quantity.FORCE, "Fp = proof stress · stress area", found.preload.source, ()
    )
    return Result(
        lines=(
            Line("torque_Nm", "Generic torque", found.torque),
            Line("preload_N", "Preload aimed at", found.preload),
            Line("proof_load_N", "Proof load of the bolt", proof),
        ),
        cautions=found.cautions,
        generic=found.generic,
    )


def _by_friction(
    *,
    grade: str,
    thread: ThreadSize,
    thread_friction: Known,
    head_friction: Known,
    use: str | None,
    bearing: Known | None,
    hole: Known | None,
) -> Result:
    steel = steel_of(grade, thread)
    size = {"diameter_m": thread.diameter_m, "pitch_m": thread.pitch_m}
    friction = {"thread_friction": thread_friction, "head_friction": head_friction}
    factor = nut_factor.answer(**size, **friction)
    aim = load_N.answer(stress_Pa=steel.proof_Pa, area_m2=area_of(thread), fraction=USES[use or "again"][1])
    torque = torque_Nm.answer(nut_factor=factor.known, preload_N=aim.known, diameter_m=thread.diameter_m)
    lines = [
        Line("torque_Nm", "Generic torque", torque),
        Line("preload_N", "Preload aimed at", aim),
        Line("nut_factor", "Nut factor", factor),
    ]
    if bearing is not None or hole is not None:
        lines += _at_yield(steel.yield_Pa, thread, size, friction, bearing, hole)
    return Result(lines=tuple(lines), cautions=(GENERIC, RUBBER), generic=True)


def _at_yield(
    yield_Pa: float,
    thread: ThreadSize,
    size: dict[str, float],
    friction: dict[str, Known],
    bearing: Known | None,
    hole: Known | None,
) -> tuple[Line, Line]:
    """What a metric bolt bears at most while it is tightened."""
    if bearing is None or hole is None:
        missing = "hole" if bearing else "bearing"
        raise Refusal("The head's face and the hole belong together.", field=missing)
    if thread.thread is not ThreadStandard.METRIC:
        raise Refusal("Ninety percent of yield is reckoned for metric threads only.", field="bearing")
    most = yield_preload_N.answer(**size, thread_friction=friction["thread_friction"], yield_Pa=yield_Pa)
    # The preload falls with the thread's friction as the torque rises with it: taken as independent, the
    # spread of the torque comes out a little too wide.
    made = friction_torque_Nm.answer(preload_N=most.known, **size, **friction, bearing_m=bearing, hole_m=hole)
    return (
        Line("yield_torque_Nm", "Torque at 90 % of yield", made),
        Line("yield_preload_N", "Preload at 90 % of yield", most),
    )


_USE = Choice(
    name="use",
    label="The joint",
    options=tuple((value, words) for value, (words, _) in USES.items()),
    start="again",
    example="again",
    needed=False,
)
_SIGN = Sign("warning", "Not the maker's figure. A foreman takes it on before anyone pulls it.")

CALCULATORS = (
    Calculator(
        name="generic-torque",
        title="Torque from the bolt's grade",
        subject="Torque",
        lead="Where the manual has no figure: what size, grade and finish allow, and how threads scatter.",
        sign=_SIGN,
        fields=(GRADE, THREAD, FINISH, _USE),
        work=_generic,
    ),
    Calculator(
        name="friction-torque",
        title="Torque from friction",
        subject="Torque",
        lead="Where friction is known better than a finish tells: the torque, and what a metric bolt bears.",
        sign=_SIGN,
        fields=(
            replace(GRADE, example="10.9"),
            replace(THREAD, example="M12x1.25"),
            a_number(name="thread_friction", label="Friction in the thread", example="0.12"),
            a_number(name="head_friction", label="Friction under the head or nut", example="0.12"),
            _USE,
            a_length(
                name="bearing",
                label="Outer diameter of the head's face",
                example="16.63 mm",
                help="With the hole: what a metric bolt bears at 90 % of yield.",
                needed=False,
            ),
            a_length(name="hole", label="Hole under the head", example="13.5 mm", needed=False),
        ),
        work=_by_friction,
    ),
)
