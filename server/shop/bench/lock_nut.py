"""Whether a self-locking nut may go on again."""

from server.compute.answer import Answer, Known
from server.compute.lock_nut import SIZES, least_breakaway_Nm
from server.compute.thread import thread_size
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result, Sign
from server.shop.bench.figure import a_torque
from server.shop.bench.word import Choice


def _again(*, thread: str, drag: Known) -> Result:
    least_Nm = least_breakaway_Nm(thread_size(thread))
    least = Answer(least_Nm, 0.0, Quantity.TORQUE, "as tabulated", "US Army TM 10-3510-220-24, Table D-2", ())
    grips = drag.value - drag.uncertainty >= least_Nm
    return Result(
        lines=(Line("least_Nm", "It drags at least with", least),),
        verdict="it still locks" if grips else "do not use it again",
    )


CALCULATORS = (
    Calculator(
        name="locking-nut",
        title="Does a locking nut still lock?",
        subject="Torque",
        lead="What turns it while it runs free on its own thread, against the least that it should take.",
        sign=Sign(
            "warning", "Where the manual asks for a new nut, fit a new one. One that came loose is done."
        ),
        fields=(
            Choice(
                name="thread",
                label="Thread",
                options=tuple((size, size) for size in SIZES),
                example="1/2-20",
            ),
            a_torque(
                name="drag",
                label="What turns it",
                example="22 lbf·in",
                help="At least two threads through the locking part, not seated.",
            ),
        ),
        work=_again,
    ),
)
