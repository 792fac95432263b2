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
    of = len(layout.dimensions)
    count = (
        f"all {of} lengths of the corner"
        if len(names) == of
        else f"{len(names)} of the corner's {of} lengths"
    )
    return f"Guessed, not measured: {count}."
