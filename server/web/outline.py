"""Outlines on the paper, as the paths of an SVG.

A spot on the paper is a complex number in pixels: real to the right, imaginary downwards.
"""

from itertools import pairwise

Spot = complex


def number(length: float) -> str:
    """A length to a tenth of a pixel, as short as it can be written."""
    text = f"{length:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def written(spot: Spot) -> str:
    """`12.3 4`."""
    return f"{number(spot.real)} {number(spot.imag)}"


def line(*spots: Spot) -> str:
    """From spot to spot; each but the first is written from the one before, which is shorter."""
    places = [complex(round(one.real, 1), round(one.imag, 1)) for one in spots]
    steps = "l".join(written(there - here) for here, there in pairwise(places))
    return f"M{written(places[0])}l{steps}".replace(" -", "-")


def closed(*spots: Spot) -> str:
    """From spot to spot and back to the first."""
    return f"{line(*spots)}z"


def circle(middle: Spot, radius: float) -> str:
    """Two arcs, so that it is a path like the others."""
    r, twice = number(radius), number(2 * radius)
    return f"M{written(middle - radius)}a{r} {r} 0 1 0 {twice} 0a{r} {r} 0 1 0-{twice} 0z"


def strip(start: Spot, end: Spot, width: float) -> str:
    """A bar with square ends."""
    half = _across(start, end) * width / 2
    return closed(start + half, end + half, end - half, start - half)


def tapered(start: Spot, end: Spot, start_width: float, end_width: float) -> str:
    """An arm with round ends."""
    across = _across(start, end)
    a, b = start_width / 2, end_width / 2
    round_end = f"A{number(b)} {number(b)} 0 0 0 {written(end - across * b)}"
    round_start = f"A{number(a)} {number(a)} 0 0 0 {written(start + across * a)}"
    return (
        f"{line(start + across * a, end + across * b)}{round_end}L{written(start - across * a)}{round_start}z"
    )


def fork(front: Spot, rear: Spot, ball: Spot, leg_width: float, ball_width: float) -> str:
    """An arm on two legs that come together at its ball joint."""
    a, b = (_away(leg, ball, other) for leg, other in ((front, rear), (rear, front)))
    half, end = leg_width / 2, ball_width / 2
    crotch = _meeting((front - a * half, ball - a * half), (rear - b * half, ball - b * half))
    return closed(
        front + a * half,
        ball + a * end,
        ball + b * end,
        rear + b * half,
        rear - b * half,
        crotch,
        front - a * half,
    )


def rounded(middle: Spot, along: Spot, long: float, wide: float, radius: float) -> str:
    """An oblong with round corners, its long side along a unit vector."""
    u, v = along * long / 2, along * 1j * wide / 2
    corners = [middle + u + v, middle - u + v, middle - u - v, middle + u - v]
    return closed_round(corners, radius)


def closed_round(corners: list[Spot], radius: float) -> str:
    """From corner to corner and back, each of them rounded."""
    path = ""
    for before, corner, after in zip(
        corners[-1:] + corners[:-1], corners, corners[1:] + corners[:1], strict=True
    ):
        start, end = corner + _toward(corner, before) * radius, corner + _toward(corner, after) * radius
        path += f"{'L' if path else 'M'}{written(start)}Q{written(corner)} {written(end)}"
    return f"{path}z"


def wave(start: Spot, end: Spot, high: float) -> str:
    """Where a part is broken off. Source: ISO 128, a freehand line."""
    step, up = (end - start) / 4, _across(start, end) * high
    return f"M{written(start)}q{written(step + up)} {written(2 * step)}t{written(2 * step)}"


def coils(bottom: Spot, top: Spot, width: float, turns: float) -> tuple[str, str]:
    """A spring from its side: the halves of its coils that lie in front, and those behind."""
    halves = round(2 * turns)
    side = _across(bottom, top) * width / 2
    spots = [bottom + (top - bottom) * i / halves + (side if i % 2 else -side) for i in range(halves + 1)]
    pairs = list(pairwise(spots))
    return "".join(line(*one) for one in pairs[::2]), "".join(line(*one) for one in pairs[1::2])


def hatching(start: Spot, end: Spot, width: float, every: float = 4) -> str:
    """Slanted lines across a strip."""
    along, half = _toward(start, end), _across(start, end) * width / 2
    places = [start + along * (every * (i + 0.5)) for i in range(int(abs(end - start) / every))]
    return "".join(line(one - half - along * width / 2, one + half + along * width / 2) for one in places)


def _toward(start: Spot, end: Spot) -> Spot:
    """Unit vector; any serves where both are in the same place."""
    return (end - start) / abs(end - start) if start != end else 1 + 0j


def _across(start: Spot, end: Spot) -> Spot:
    return _toward(start, end) * 1j


def _away(start: Spot, end: Spot, other: Spot) -> Spot:
    """Square to a line, on the side away from another spot."""
    across = _across(start, end)
    return across if ((other - start) / across).real < 0 else -across


def _meeting(one: tuple[Spot, Spot], other: tuple[Spot, Spot]) -> Spot:
    """Where two lines cross, each through two spots; the end of the first where they never do."""
    (a, b), (c, d) = one, other
    along, beside = b - a, d - c
    slant = (along * beside.conjugate()).imag
    return a + along * ((c - a) * beside.conjugate()).imag / slant if slant else b
