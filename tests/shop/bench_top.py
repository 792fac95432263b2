"""What lies on the bench: captures, spec lines and shims made by hand, without a shop around them."""

from server.compute import measure
from server.procedure.model import FrontEnd
from server.shop.aim.aim import Aim
from server.shop.aim.every import aims
from server.shop.evidence import Evidence
from server.shop.geometry import LONG_LINES, SHORT_LINES, WORD_LINES
from server.shop.spec import SpecLine, lines_for, read_range
from server.store.tables import Capture, Decision, Shim, Spec
from tests.shop.conftest import NOW, library

INCH_m = 0.0254
Q = measure.Quantity
# What each figure is; all lengths but these.
QUANTITIES = {
    "camber": Q.ANGLE,
    "caster": Q.ANGLE,
    "toe.wheel": Q.ANGLE,
    "steering-wheel.off": Q.ANGLE,
    "camber.turned-out": Q.ANGLE,
    "camber.turned-in": Q.ANGLE,
    "tie-rod.threads-inner": Q.COUNT,
    "tie-rod.threads-outer": Q.COUNT,
}
UNITS = {Q.LENGTH: "in", Q.ANGLE: "deg", Q.COUNT: ""}


def front_end() -> FrontEnd:
    return library()["coil-on-lower-arm"]


def captured(key: str, text: str, *, place: str = "LF", id: int = 1) -> Capture:
    """A measurement as typed."""
    quantity = QUANTITIES.get(key, Q.LENGTH)
    signed = quantity is Q.ANGLE
    reading = measure.read(text, quantity, default_unit=UNITS[quantity], signed=signed)
    return Capture(
        id=id,
        step_id=7,
        key=key,
        place=place,
        kind="measurement",
        text=text,
        value=reading.value,
        uncertainty=reading.uncertainty,
        quantity=quantity.value,
        read_as=reading.read_as,
    )


def specified(key: str, text: str, *, generic: bool = False) -> Spec:
    """A line of the spec sheet as typed."""
    lines = (*lines_for(front_end()), *WORD_LINES, *SHORT_LINES, *LONG_LINES)
    line: SpecLine = next(one for one in lines if one.key == key)
    if line.options:
        return Spec(key=key, text=text, quantity="", low=0.0, high=0.0, source="seen on the car", at=NOW)
    said = read_range(text, line, system="inch")
    return Spec(
        id=1,
        key=key,
        text=text,
        quantity=str(line.quantity),
        low=said.low,
        high=said.high,
        source="Maker's manual p. 3-12",
        generic=generic,
        at=NOW,
    )


def evidence(
    *,
    down: dict[tuple[str, str], str] | None = None,
    later: dict[tuple[str, str], str] | None = None,
    sheet: dict[str, str] | None = None,
    drawer: dict[str, int] | None = None,
    renewed: tuple[str, ...] = (),
    asked: tuple[str, ...] = (),
    tightened: tuple[str, ...] = (),
) -> Evidence:
    """Figures by key and place: found on the way down, and taken at the bench."""
    taken = [(at, "down", text) for at, text in (down or {}).items()]
    taken += [(at, "bench", text) for at, text in (later or {}).items()]
    captures = {
        (key, place, way): captured(key, text, place=place, id=n)
        for n, ((key, place), way, text) in enumerate(taken, 1)
    }
    shims = [
        Shim(text=text, thickness_m=measure.read(text, Q.LENGTH, default_unit="in").value, count=count)
        for text, count in (drawer or {}).items()
    ]
    return Evidence(
        captures=captures,
        specs={key: specified(key, text) for key, text in (sheet or {}).items()},
        decisions={(part, "LF"): Decision(part=part, place="LF", verdict="renew") for part in renewed},
        drawer=tuple(shims),
        asked=frozenset(asked),
        tightened=frozenset(tightened),
    )


def aimed(given: Evidence) -> dict[tuple[str, str], Aim]:
    """Every target by key and place."""
    return {(aim.key, aim.place): aim for aim in aims(given, front_end(), system="inch")}
