"""What lengths a draw takes, seen where they are made into corners."""

from collections.abc import Callable

import numpy as np
import pytest

from server.compute.layout import Layout
from server.compute.vector import Floats


def spreads_out(layout: Layout, monkeypatch: pytest.MonkeyPatch, draw: Callable[[], object]) -> Floats:
    """How many spreads each drawn length is from its figure, for all that are uncertain, (n, draws)."""
    seen, corner = [], Layout.corner

    def watched(self, hand, figures_m=None):
        seen.append(figures_m)
        return corner(self, hand, figures_m)

    monkeypatch.setattr(Layout, "corner", watched)
    draw()
    most = max((one for one in seen if one is not None), key=np.size)
    return (most - layout.figures_m[:, None]) / layout.spreads_m[:, None]
