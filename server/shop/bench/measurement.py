"""Reading a figure the way the rest of the house reads it."""

from server.compute import measure
from server.compute.answer import Answer
from server.compute.show import System, usual_unit
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.field import beside
from server.shop.bench.figure import SI
from server.shop.bench.word import Choice, Typed

TOE = "toe"
SIGNED = (Quantity.LENGTH, Quantity.ANGLE)
KINDS = (
    ("length", "A length"),
    (TOE, "Toe, in or out"),
    ("angle", "An angle"),
    ("torque", "A torque"),
    ("force", "A force"),
    ("spring rate", "A spring rate"),
    ("pressure", "A tyre pressure"),
    ("stress", "A stress"),
    ("mass", "A mass"),
    ("energy", "An energy"),
)
SYSTEMS = (("inch", "Inch"), ("metric", "Metric"))


def _read(*, text: str, kind: str, units: str) -> Result:
    with beside("text"):
        reading = _reading(text, kind, units)
    answer = Answer(
        reading.value,
        reading.uncertainty,
        reading.quantity,
        "as written",
        "half of the smallest step that the writing resolves",
        (),
    )
    key = f"{reading.quantity.value.replace(' ', '_')}_{SI[reading.quantity]}"
    doubt = (reading.implausible,) if reading.implausible else ()
    return Result(lines=(Line(key, "Read as", answer),), says=f"{reading.read_as}.", cautions=doubt)


def _reading(text: str, kind: str, units: str) -> measure.Reading:
    system: System = "metric" if units == "metric" else "inch"
    if kind == TOE:
        return measure.read_toe(text, usual_unit(Quantity.LENGTH, system))
    quantity = Quantity(kind)
    unit = usual_unit(quantity, system)
    return measure.read(text, quantity, default_unit=unit, signed=quantity in SIGNED)


CALCULATORS = (
    Calculator(
        name="measurement",
        title="Read a measurement",
        subject="Measuring",
        lead="What a figure means in both systems, and how closely its own writing pins it down.",
        fields=(
            Typed(
                name="text",
                label="The figure",
                example="12 5/8 in",
                help="As you would write it on tape: 12 5/8, 320.7 mm, 95 lbf·ft, 1°15'.",
            ),
            Choice(name="kind", label="What it is", options=KINDS, example="length"),
            Choice(
                name="units",
                label="Without a unit it is meant in",
                options=SYSTEMS,
                example="inch",
                offered="system",
            ),
        ),
        work=_read,
    ),
)
