"""One corner's camber, caster and toe as plots: against their bands, and over the wheel's travel."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from server.compute.layout import Layout, ShaftAt
from server.compute.linkage import AS_IT_STOOD
from server.compute.show import System, show
from server.compute.unit import Quantity
from server.shop.comparison import Compared
from server.shop.geometry import layout_of, shaft_at_of
from server.shop.pack import KEYS as PACKS
from server.shop.pose import ROD, Figures, changed, figures, setting, stood
from server.shop.wheel_record import HANDS
from server.store.tables import Spec
from server.web.band import Row, rows
from server.web.curve import NAMES, Columns, Plots, plots
from server.web.guessed import guessed


@dataclass(frozen=True, slots=True)
class Angles:
    """What is plotted of one corner."""

    place: str
    rows: tuple[Row, ...]
    plots: Plots | None  # none while the corner's geometry is not known, or nobody has read an angle
    guessed: str
    unread: tuple[str, ...] = ()  # as found, so that they have no curve

    @property
    def has_ends(self) -> bool:
        """Whether a curve ends before the plot does."""
        return any(
            curve.ends for panel in (self.plots.panels if self.plots else ()) for curve in panel.curves
        )


def angles(
    compared: Iterable[Compared], specs: Mapping[str, Spec], place: str, *, system: System
) -> Angles | None:
    """The plots of a corner; none where there is nothing to plot."""
    every = {(one.key, one.place): one for one in compared}
    if place not in HANDS or not any(at == place for _, at in every):
        return None
    bands = rows(every.values(), place, lambda angle: show(angle, Quantity.ANGLE, system=system))
    layout, shaft_at = layout_of(specs), shaft_at_of(specs)
    read = _column(every, "found", place).keys() & set(NAMES)
    if layout is None or shaft_at is None or not read:
        return Angles(place, bands, None, "") if bands else None
    drawn = plots(_columns(every, layout, shaft_at, place), read, system=system)
    unread = tuple(one for one in NAMES if one not in read)
    return Angles(place, bands, drawn, guessed(layout), unread)


def _columns(
    every: Mapping[tuple[str, str], Compared], layout: Layout, shaft_at: ShaftAt, place: str
) -> Columns:
    """As found; as the target has it and as it was left, where packs or tie rod are known for that."""

    found = _column(every, "found", place)
    corner = stood(layout.corner(HANDS[place]), found)
    columns = {"found": (corner, AS_IT_STOOD)}
    for name in ("target", "left"):
        then = _column(every, name, place)
        if then.keys() & {*PACKS, ROD}:
            read = then if name == "left" else {}
            columns[name] = changed(corner, setting(found, then, shaft_at), read)
    return columns


def _column(every: Mapping[tuple[str, str], Compared], name: str, place: str) -> Figures:
    return figures(lambda key, at: getattr(every.get((key, at)), name, None), place)
