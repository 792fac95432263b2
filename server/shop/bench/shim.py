"""Shim packs: as they came off, and made up from a drawer."""

from collections.abc import Iterator

from server.compute.answer import Answer, Input, Known
from server.compute.constants import INCH_m
from server.compute.shims import Pack, make_up, pack_as_found
from server.compute.show import show_both
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.field import beside
from server.shop.bench.figure import Count, a_length
from server.shop.bench.listed import Drawer, Stock, Thicknesses

SUBJECT = "Shims"
ALIKE_m = float(INCH_m) / 1000  # what a micrometer tells apart
MOST_PACKS, MOST_PIECES = 4, 8


def _as_found(*, pieces: tuple[Known, ...]) -> Result:
    with beside("pieces"):
        pack = pack_as_found(pieces)
    return Result(lines=(Line("pack_m", "The pack is", pack),))


def _from_drawer(
    *, wanted: tuple[Known, ...], drawer: Drawer, tolerance: Known | None, pieces: int | None
) -> Result:
    within_m = min(drawer) / 2 if tolerance is None else tolerance.value
    with beside("drawer"):
        packs = make_up(
            [one.value for one in wanted],
            drawer,
            tolerance_m=within_m,
            alike_m=ALIKE_m,
            most_pieces=pieces or MOST_PIECES,
        )
    lines = tuple(_line(at, pack, one) for at, (pack, one) in enumerate(zip(packs, wanted, strict=True), 1))
    return Result(lines=lines, big=len(lines), cautions=tuple(_off(packs)))


def _line(at: int, pack: Pack, wanted: Known) -> Line:
    answer = Answer(
        pack.thickness_m,
        0.0,
        Quantity.LENGTH,
        "nearest to what is wanted, with the fewest pieces",
        "every way looked through",
        (Input("wanted", wanted.value, "m", 0.0),),
    )
    return Line(f"pack_{at}_m", f"Pack {at}", answer, pack.pieces_m)


def _off(packs: tuple[Pack, ...]) -> Iterator[str]:
    for at, pack in enumerate(packs, start=1):
        if abs(pack.error_m) > ALIKE_m:
            side = "thicker" if pack.error_m > 0 else "thinner"
            by = show_both(abs(pack.error_m), Quantity.LENGTH, system="inch")
            yield f"Pack {at} comes out {by} {side} than wanted."


CALCULATORS = (
    Calculator(
        name="shim-pack",
        title="Thickness of a pack",
        subject=SUBJECT,
        lead="A pack measured shim by shim, with the uncertainty that adds up.",
        fields=(
            Thicknesses(
                name="pieces",
                label="Its shims",
                most=20,
                example="0.125 in\n0.062 in\n0.030 in",
                help="One a line, or with a plus between them.",
            ),
        ),
        work=_as_found,
    ),
    Calculator(
        name="shim-packs",
        title="Packs from the drawer",
        subject=SUBJECT,
        lead="Up to four packs out of one drawer: which shims go into each, so that all come out right.",
        fields=(
            Thicknesses(
                name="wanted",
                label="Packs wanted",
                most=MOST_PACKS,
                zero=True,
                example="3/16 in\n0.250 in",
                help="One a line.",
            ),
            Stock(
                name="drawer",
                label="In the drawer",
                offered="drawer",
                example="6 × 1/8 in\n6 × 1/16 in\n4 × 1/32 in",
                help="A line for each thickness: 6 × 1/8 in.",
            ),
            a_length(
                name="tolerance",
                label="A pack may be off by",
                zero=True,
                example="1/64 in",
                help="Empty is half of the thinnest shim.",
                needed=False,
            ),
            Count(
                name="pieces",
                label="Most shims in one pack",
                most=MOST_PIECES,
                example="6",
                help=f"Empty is {MOST_PIECES}.",
                needed=False,
            ),
        ),
        work=_from_drawer,
    ),
)
