"""Coil springs under load: what one holds at a length, how far the next one is pressed, its wire's stress."""

from dataclasses import replace

from server.compute import spring
from server.compute.answer import Answer, Known
from server.compute.show import show_both
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result, Sign
from server.shop.bench.figure import Figure, a_force, a_length, a_rate
from server.shop.refusal import Refusal

SUBJECT = "Springs"
GRASP_kg = 50.0  # the mass whose fall makes a spring's energy something one can picture
LOADED = Sign("danger", "A compressed spring can kill. Its ends never point at anyone.")
UNDAMAGED = "Stress holds for a sound surface: rust pits, nicks and clamp marks start cracks."
RATING_UNCHECKED = "The compressor's rating is not given: not checked."


def _held(*, rate: Known, free: Known, length: Known, mass: Known | None, **beyond: Known | None) -> Result:
    pressed = _press(rate, free, length, **beyond)
    return Result(lines=_lines(pressed, mass), big=2, cautions=_cautions(pressed, beyond["rating"]))


def _next(
    *,
    length: Known,
    next_rate: Known,
    next_free: Known,
    rate: Known | None,
    free: Known | None,
    **beyond: Known | None,
) -> Result:
    """The gap is what it was, so the length is; where another spring comes to rest is another matter."""
    pressed = _press(next_rate, next_free, length, **beyond)
    to = Answer(length.value, length.uncertainty, Quantity.LENGTH, "L = L of the old one", "the same gap", ())
    rests = _rests(length, rate, free, next_rate, next_free)
    return Result(
        lines=(Line("length_m", "Press the next one to", to), *_lines(pressed, None), *rests),
        cautions=_cautions(pressed, beyond["rating"]),
    )


def _rests(
    length: Known, rate: Known | None, free: Known | None, next_rate: Known, next_free: Known
) -> tuple[Line, ...]:
    """Where the next one pushes as hard as the old one did, if that one's figures are known."""
    if rate is None and free is None:
        return ()
    if rate is None or free is None:
        raise Refusal("The old one's rate and free length belong together.", field="free" if rate else "rate")
    force = spring.force_N.answer(rate_N_per_m=rate, free_length_m=free, length_m=length)
    rest = spring.length_at_force_m.answer(
        free_length_m=next_free, force_N=force.known, rate_N_per_m=next_rate
    )
    return (Line("equal_force_length_m", "It pushes as hard as the old one did at", rest),)


def _press(
    rate: Known,
    free: Known,
    length: Known,
    *,
    solid: Known | None,
    rating: Known | None,
    wire: Known | None,
    outer: Known | None,
    limit: Known | None,
) -> spring.Compressed:
    body = spring.Spring(rate, free, solid, wire, _mean(wire, outer))
    try:
        return spring.compress(
            body,
            length,
            rating_N=rating.value if rating else None,
            stress_limit_Pa=limit.value if limit else None,
        )
    except spring.OverRated as refused:
        raise Refusal(str(refused), field="rating") from refused
    except spring.CoilBound as refused:
        raise Refusal(str(refused), field="solid") from refused
    except spring.OverStressed as refused:
        raise Refusal(str(refused), field="limit") from refused
    except spring.WireUnknown as refused:
        raise Refusal(str(refused), field="wire") from refused


def _mean(wire: Known | None, outer: Known | None) -> Known | None:
    """The coil's mean diameter, for the wire's stress; wire and coil belong together."""
    if wire is None and outer is None:
        return None
    if wire is None or outer is None:
        raise Refusal(
            "The wire and the coil's outer diameter belong together.", field="outer" if wire else "wire"
        )
    if outer.value <= 2 * wire.value:
        raise Refusal("The coil is wider than two of its wires.", field="outer")
    return spring.mean_diameter_m.answer(outer_diameter_m=outer, wire_m=wire).known


def _stress(*, force: Known, wire: Known, outer: Known) -> Result:
    coil: dict[str, Known] = {"force_N": force, "wire_m": wire}
    if mean := _mean(wire, outer):
        coil["mean_diameter_m"] = mean
    return Result(
        lines=(
            Line("stress_Pa", "Highest stress, by Wahl", spring.stress_Pa.answer(**coil)),
            Line(
                "stress_by_bergstrasser_Pa",
                "Highest stress, by Bergsträsser",
                spring.stress_by_bergstrasser_Pa.answer(**coil),
            ),
            Line("stress_at_rest_Pa", "Without the curvature", spring.stress_at_rest_Pa.answer(**coil)),
        ),
        cautions=(UNDAMAGED,),
    )


def _lines(pressed: spring.Compressed, mass: Known | None) -> tuple[Line, ...]:
    """Force, energy and what that is like; the margin where it is known."""
    weight = mass or Known(GRASP_kg)
    drop = spring.drop_height_m.answer(energy_J=pressed.energy.known, mass_kg=weight)
    falling = show_both(weight.value, Quantity.MASS, system="inch")
    lines: tuple[Line, ...] = (
        Line("force_N", "It pushes with", pressed.force),
        Line("energy_J", "It holds", pressed.energy),
        Line("drop_height_m", f"As much as {falling} falling from", drop),
    )
    if pressed.margin:
        lines += (Line("margin_m", "Left before the coils touch", pressed.margin),)
    if pressed.stress:
        lines += (Line("stress_Pa", "Highest stress in the wire", pressed.stress),)
    return lines


def _cautions(pressed: spring.Compressed, rating: Known | None) -> tuple[str, ...]:
    return (
        *pressed.cautions,
        *(() if rating else (RATING_UNCHECKED,)),
        *((UNDAMAGED,) if pressed.stress else ()),
    )


_RATE = a_rate(name="rate", label="Rate", example="350 lbf/in")
_FREE = a_length(name="free", label="Free length", example="15.00 in", help="Off the car, nothing on it.")
_LENGTH = a_length(name="length", label="Length it is held at", example="10.50 in")
_SOLID = a_length(
    name="solid", label="Solid length", example="7.25 in", help="All coils touching.", needed=False
)
_RATING = a_force(
    name="rating",
    label="Compressor's rated load",
    example="2200 lbf",
    help="As marked on it.",
    needed=False,
)
_WIRE = a_length(name="wire", label="Wire thickness", example="0.625 in", help="Of the bare wire.")
_OUTER = a_length(name="outer", label="Outer diameter of the coil", example="5.50 in", help="Over the wire.")
_LIMIT = Figure(
    name="limit",
    label="Stress the wire may bear",
    quantity=Quantity.STRESS,
    example="900 MPa",
    help="As the spring's maker says; with wire and coil, it is checked.",
    needed=False,
)
_CHECKED = (_SOLID, _RATING, replace(_WIRE, needed=False), replace(_OUTER, needed=False), _LIMIT)

CALCULATORS = (
    Calculator(
        name="spring-held",
        title="A spring held at a length",
        subject=SUBJECT,
        lead="What a compressor holds: force, energy, how near the coils are to touching.",
        sign=LOADED,
        fields=(
            _RATE,
            _FREE,
            _LENGTH,
            *_CHECKED,
            Figure(
                name="mass",
                label="Mass to compare with",
                quantity=Quantity.MASS,
                example="50 kg",
                help="Empty is 50 kg.",
                needed=False,
            ),
        ),
        work=_held,
    ),
    Calculator(
        name="next-spring",
        title="How far to press the next spring",
        subject=SUBJECT,
        lead="Another spring goes in through the gap that the old one came out of: what it then holds.",
        sign=LOADED,
        fields=(
            replace(
                _LENGTH, label="Length the old one came out at", help="Pressed until its seats were free."
            ),
            a_rate(name="next_rate", label="Rate of the next one", example="400 lbf/in"),
            a_length(name="next_free", label="Free length of the next one", example="14.75 in"),
            replace(_RATE, label="Rate of the old one", needed=False),
            replace(_FREE, label="Free length of the old one", needed=False),
            *(replace(_SOLID, label="Solid length of the next one"), *_CHECKED[1:]),
        ),
        work=_next,
    ),
    Calculator(
        name="spring-stress",
        title="Stress in a spring's wire",
        subject=SUBJECT,
        lead="How hard the wire is worked under a force.",
        fields=(a_force(name="force", label="Force on the spring", example="1500 lbf"), _WIRE, _OUTER),
        work=_stress,
    ),
)
