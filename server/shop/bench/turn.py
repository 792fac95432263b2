"""Torque, then angle."""

from server.compute.answer import Answer, Input, Known
from server.compute.thread import ThreadSize
from server.compute.turn import ONE_USE, FLAT_rad, advance_m, total_rad
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result, Sign
from server.shop.bench.figure import a_torque
from server.shop.bench.listed import Turns
from server.shop.bench.word import Thread

MARK = "Mark each head or nut, and what it turns against, before the first turn; go round in the same order."


def _turned(*, torque: Known, turns: tuple[Known, ...], thread: ThreadSize | None) -> Result:
    rad = total_rad([one.value for one in turns])
    off_rad = sum(one.uncertainty for one in turns)
    inputs = tuple(
        Input(f"turn {n}", one.value, "rad", one.uncertainty) for n, one in enumerate(turns, start=1)
    )
    total = Answer(rad, off_rad, Quantity.ANGLE, "sum of the turns", "arithmetic", inputs)
    flats = Answer(rad / FLAT_rad, off_rad / FLAT_rad, Quantity.NUMBER, "angle / 60°", "a hexagon", ())
    first = Answer(torque.value, torque.uncertainty, Quantity.TORQUE, "as stated", "the maker's figure", ())
    lines = [
        Line("torque_Nm", "First pull all of them to", first),
        Line("total_rad", "Then turn on, in all", total),
        Line("flats", "That is, in flats of the head", flats),
    ]
    if thread is not None:
        along = advance_m.answer(pitch_m=thread.pitch_m, angle_rad=total.known)
        lines.append(Line("advance_m", "Along the thread", along))
    return Result(lines=tuple(lines), says=MARK, big=2, cautions=(ONE_USE,))


CALCULATORS = (
    Calculator(
        name="torque-then-angle",
        title="Torque, then angle",
        subject="Torque",
        lead="Bolts that are pulled to a low torque and then turned: how far in all.",
        sign=Sign("caution", "Angle only where the manual says angle, from the torque that it says."),
        fields=(
            a_torque(name="torque", label="Torque before the first turn", example="29.5 lbf·ft"),
            Turns(
                name="turns",
                label="The turns after it",
                example="45° + 45° + 45° + 30°",
                help="One a line, or with a plus between them.",
                most=8,
            ),
            Thread(
                name="thread",
                label="Thread",
                example="M12x1.5",
                help="To know how far that is along it.",
                needed=False,
            ),
        ),
        work=_turned,
    ),
)
