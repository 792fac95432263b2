"""Whether a locking nut still locks."""

import pytest

from server.compute.lock_nut import least_breakaway_Nm
from server.compute.refusal import Refused
from server.compute.thread import thread_size


def test_a_thread_whose_figure_is_not_at_hand_is_refused_with_those_that_are() -> None:
    with pytest.raises(Refused, match="1/4-28, 3/8-24, 1/2-20, 5/8-18"):
        least_breakaway_Nm(thread_size("7/16-20"))
