"""Live hazards as every page of a car shows them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from jinja2 import pass_context
from jinja2.runtime import Context

from server.compute.show import System, show_both
from server.compute.unit import Quantity
from server.shop.hazard import LiveHazard
from server.shop.job import PLACES
from server.web.clock import at_the_clock, how_long


@dataclass(frozen=True, slots=True)
class HazardLine:
    """One line of the strip over a page."""

    word: str  # the signal word
    text: str
    age: str
    since: str
    href: str  # of the step that began it


@pass_context
def hazard_lines(context: Context, hazards: Iterable[LiveHazard]) -> list[HazardLine]:
    """The lines for `hazard_strip`, at the moment and in the units of this page."""
    system = context["visitor"].system
    return [hazard_line(one, now=context["now"], system=system) for one in hazards]


def hazard_line(live: LiveHazard, *, now: datetime, system: System) -> HazardLine:
    """What it is, where, how much energy it holds, since when and by whom."""
    where = "" if live.hazard.place == "car" else f", {PLACES[live.hazard.place].lower()}"
    return HazardLine(
        word=live.kind.signal,
        text=f"{live.kind.name}{where}{_energy(live, system)}",
        age=how_long(live.age(now)),
        since=f"{at_the_clock(live.hazard.began_at, now=now)}, {live.begun_by}",
        href=f"/steps/{live.hazard.began_step_id}",
    )


def _energy(live: LiveHazard, system: System) -> str:
    """Said also where it is not known, so that nobody takes silence for little."""
    if not live.kind.has_energy:
        return ""
    if live.hazard.energy_J is None:
        return ": energy not known"
    return f": holds {show_both(live.hazard.energy_J, Quantity.ENERGY, system=system)}"
