"""A torque from the tables where the maker gives none."""

from server.compute.answer import Answer
from server.compute.grade import GRADES, UnknownGrade
from server.compute.preload import PERMANENT, REUSED, generic_torque
from server.compute.thread import ThreadSize
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result, Sign
from server.shop.bench.word import Choice, Thread
from server.shop.generic_torque import FINISHES
from server.shop.refusal import Refusal

USES = {"again": ("Will come apart again", REUSED), "permanent": ("Stays together", PERMANENT)}


def _generic(*, grade: str, thread: ThreadSize, finish: str, use: str | None) -> Result:
    try:
        found = generic_torque(
            grade=grade,
            diameter_m=thread.diameter_m,
            pitch_m=thread.pitch_m,
            thread=thread.thread,
            finish=FINISHES[finish][0],
            fraction=USES[use or "again"][1],
        )
    except UnknownGrade as unknown:
        raise Refusal(str(unknown), field="grade") from unknown
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


CALCULATORS = (
    Calculator(
        name="generic-torque",
        title="Torque from the bolt's grade",
        subject="Torque",
        lead="Where the manual has no figure: what size, grade and finish allow, and how threads scatter.",
        sign=Sign("warning", "Not the maker's figure. A foreman takes it on before anyone pulls it."),
        fields=(
            Choice(
                name="grade",
                label="Grade on the bolt's head",
                options=tuple((grade, grade) for grade in GRADES),
                example="SAE 5",
            ),
            Thread(name="thread", label="Thread", example="1/2-20", help="1/2-20 or M12x1.5."),
            Choice(
                name="finish",
                label="Finish",
                options=tuple((value, words) for value, (_, words) in FINISHES.items()),
                example="zinc",
            ),
            Choice(
                name="use",
                label="The joint",
                options=tuple((value, words) for value, (words, _) in USES.items()),
                start="again",
                example="again",
                needed=False,
            ),
        ),
        work=_generic,
    ),
)
