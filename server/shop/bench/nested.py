"""Two springs, one inside the other."""

from server.compute import nested, spring
from server.compute.answer import Known
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.figure import a_force, a_length, a_rate
from server.shop.bench.spring import LOADED, SUBJECT


def _both(*, length: Known, load: Known | None, **springs: Known) -> Result:
    pair = {
        "outer_rate_N_per_m": springs["outer_rate"],
        "outer_free_m": springs["outer_free"],
        "inner_rate_N_per_m": springs["inner_rate"],
        "inner_free_m": springs["inner_free"],
    }
    lines = [
        Line("force_N", "Both push with", nested.force_N.answer(**pair, length_m=length)),
        Line("energy_J", "They hold", nested.energy_J.answer(**pair, length_m=length)),
        *_each(pair, length),
    ]
    if load is not None:
        under = nested.length_at_force_m.answer(**pair, force_N=load)
        lines.append(Line("loaded_length_m", "The load presses them to", under))
    return Result(lines=tuple(lines), big=2)


def _each(pair: dict[str, Known], length: Known) -> tuple[Line, ...]:
    return tuple(
        Line(
            f"{one}_force_N",
            f"Of that, the {one} one",
            spring.force_N.answer(
                rate_N_per_m=pair[f"{one}_rate_N_per_m"],
                free_length_m=pair[f"{one}_free_m"],
                length_m=length,
            ),
        )
        for one in ("outer", "inner")
    )


CALCULATORS = (
    Calculator(
        name="nested-springs",
        title="One spring inside another",
        subject=SUBJECT,
        lead="Two on the same seats: what they push with together, and which carries how much.",
        sign=LOADED,
        fields=(
            a_rate(name="outer_rate", label="Rate of the outer one", example="250 lbf/in"),
            a_length(name="outer_free", label="Free length of the outer one", example="15.00 in"),
            a_rate(name="inner_rate", label="Rate of the inner one", example="120 lbf/in"),
            a_length(name="inner_free", label="Free length of the inner one", example="13.50 in"),
            a_length(name="length", label="Length they are held at", example="10.50 in"),
            a_force(
                name="load",
                label="A load on both",
                example="1200 lbf",
                help="To know how far it presses them.",
                needed=False,
            ),
        ),
        work=_both,
    ),
)
