"""The spring's wire unrolled, with the hooks of its compressor where the marks say that they sat."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from statistics import fmean

from server.web.outline import Spot, line

LEFT, RIGHT = 34.0, 300.0  # 12 o'clock at either edge [px]
TOP, PITCH = 44.0, 32.0
_COIL = re.compile(r"\bcoil\s*(\d{1,2})\b", re.IGNORECASE)
_CLOCK = re.compile(r"\b(1[0-2]|[1-9])\s*o.?\s*clock", re.IGNORECASE)
_END = re.compile(r"\b(top|upper|bottom|lower)\s+end\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Hook:
    """One hook: on which turn of the wire from the top, and at which o'clock, 12 being the front."""

    words: str
    coil: int
    clock: int

    @property
    def turns(self) -> float:
        """Along the wire from 12 o'clock of the first coil."""
        return self.coil - 1 + self.clock % 12 / 12


@dataclass(frozen=True, slots=True)
class Unrolled:
    """The drawing: one slanted line for each coil, dots for hooks."""

    height: float
    coils: tuple[tuple[int, str], ...]  # number and path
    hooks: tuple[tuple[Hook, Spot], ...]
    ends: tuple[tuple[str, Spot], ...]  # top or bottom, where that end of the wire points
    between: str  # how many coils the hooks have between them
    bracket: str  # beside them
    goes_on: bool  # below what is drawn, nobody having said where the wire ends


def hooks_of(texts: Iterable[str]) -> tuple[Hook, ...]:
    """The marks that name a coil and an o'clock: `Upper hook: coil 2, 6 o'clock`; others say too little."""
    found = [(text, _COIL.search(text), _CLOCK.search(text)) for text in texts]
    return tuple(Hook(text, int(coil[1]), int(clock[1])) for text, coil, clock in found if coil and clock)


def ends_of(texts: Iterable[str]) -> dict[str, int]:
    """The o'clock at which the wire's ends point: `Lower end: 4 o'clock`."""
    found = [(_END.search(text), _CLOCK.search(text)) for text in texts]
    return {
        "top" if end[1].lower() in ("top", "upper") else "bottom": int(clock[1])
        for end, clock in found
        if end and clock
    }


def unrolled(hooks: tuple[Hook, ...], ends: dict[str, int]) -> Unrolled:
    """As many coils as the hooks tell of, and one more below them."""
    last = max(one.coil for one in hooks) + 1
    start, stop = (
        ends.get("top", 12) % 12 / 12,
        last - 1 + (ends["bottom"] % 12 / 12 if "bottom" in ends else 1),
    )
    coils = [
        (n, line(_spot(max(n - 1, start), n - 1), _spot(min(n, stop), n - 1))) for n in range(1, last + 1)
    ]
    at = {"top": _spot(start, 0), "bottom": _spot(stop, last - 1)}
    upper, lower = _apart(hooks)
    high, low = (fmean(one.turns for one in group) for group in (upper, lower)) if lower else (0.0, 0.0)
    return Unrolled(
        height=TOP + PITCH * last + 14,
        coils=tuple(coils),
        hooks=tuple((one, _spot(one.turns, one.coil - 1)) for one in hooks),
        ends=tuple((name, at[name]) for name in ends),
        between=f"{low - high:.1f}".removesuffix(".0") if lower else "",
        bracket=_bracket(TOP + PITCH * high, TOP + PITCH * low) if lower else "",
        goes_on="bottom" not in ends,
    )


def _spot(turns: float, row: int) -> Spot:
    """Along the wire, drawn as part of that row's line."""
    return complex(LEFT + (RIGHT - LEFT) * (turns - row), TOP + PITCH * turns)


def _apart(hooks: tuple[Hook, ...]) -> tuple[list[Hook], list[Hook]]:
    """Those near the top and those near the bottom, parted where the wire between them is longest."""
    down = sorted(hooks, key=lambda one: one.turns)
    gaps = [(after.turns - one.turns, i) for i, (one, after) in enumerate(pairwise(down), start=1)]
    widest = max(gaps, default=(0.0, len(down)))[1]
    return down[:widest], down[widest:]


def _bracket(high: float, low: float) -> str:
    edge = RIGHT + 16
    return line(edge - 6 + 1j * high, edge + 1j * high, edge + 1j * low, edge - 6 + 1j * low)
