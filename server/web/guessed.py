"""Which of a corner's lengths nobody has measured, in a sentence."""

from server.compute.layout import Layout

_FEW = 3


def guessed(layout: Layout) -> str:
    """The few by name, else how many; "" where all were measured."""
    names = [one.name for one in layout.dimensions if one.key in layout.guessed]
    if not names:
        return ""
    if len(names) <= _FEW:
        return f"Guessed, not measured: {'; '.join(names)}."
    return f"Guessed, not measured: {len(names)} of the corner's {len(layout.dimensions)} lengths."
