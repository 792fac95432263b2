"""Which cotter pin."""

from server.compute import cotter
from server.compute.answer import Answer, Known
from server.compute.show import show
from server.compute.thread import ThreadSize
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result, Sign
from server.shop.bench.field import beside
from server.shop.bench.figure import a_length
from server.shop.bench.word import Thread

_DIN = "DIN 935-1 with ISO 1234"


def _pin(*, hole: Known, thread: ThreadSize | None) -> Result:
    with beside("hole"):
        pin_m = cotter.pin_for_hole_m(hole.value)
    made_for = show(cotter.hole_m(pin_m), Quantity.LENGTH, system="inch")
    lines = [
        Line(
            "pin_m",
            "The thickest inch pin that goes through",
            _from(pin_m, f"made for {made_for}", "ASME B18.8.1"),
        )
    ]
    if thread is not None:
        with beside("thread"):
            lines += _slot(cotter.slot(thread.diameter_m))
    says = f"A nut of that thread has {cotter.slots(thread.diameter_m)} slots." if thread else ""
    return Result(lines=tuple(lines), says=says)


def _slot(slot: cotter.Slot) -> list[Line]:
    source = "ASME B18.2.2" if slot.most_m else _DIN
    named = (
        ("slot_least_m", "Its slots are at least", slot.least_m),
        ("slot_most_m", "Its slots are at most", slot.most_m),
        ("metric_pin_m", "The metric pin for it", slot.pin_m),
        ("metric_pin_length_m", "Length of that pin", slot.pin_length_m),
    )
    return [Line(key, name, _from(size_m, "as tabulated", source)) for key, name, size_m in named if size_m]


def _from(size_m: float, how: str, source: str) -> Answer:
    return Answer(size_m, 0.0, Quantity.LENGTH, how, source, ())


CALCULATORS = (
    Calculator(
        name="cotter-pin",
        title="Which cotter pin",
        subject="Torque",
        lead="A pin that fills its hole: too thin a one shears, an old one breaks.",
        sign=Sign("warning", "A new cotter pin every time, of the size the parts list names."),
        fields=(
            a_length(name="hole", label="Hole through the stud", example="0.141 in"),
            Thread(
                name="thread",
                label="Thread of the castle nut",
                example="5/8-18",
                help="To know its slots.",
                needed=False,
            ),
        ),
        work=_pin,
    ),
)
