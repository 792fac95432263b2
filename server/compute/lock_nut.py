"""Self-locking nuts: whether one still locks. Only sizes that were read are carried."""

from server.compute.constants import LBF_IN_Nm
from server.compute.refusal import Refused
from server.compute.thread import ThreadSize

# thread: the least torque that breaks it away, nut running free on its thread [lbf·in]
_LEAST_lbf_in = {"1/4-28": 3.5, "3/8-24": 9.5, "1/2-20": 18.0, "5/8-18": 32.0}
SIZES = tuple(_LEAST_lbf_in)


def least_breakaway_Nm(size: ThreadSize) -> float:
    """Below this a locking nut is not used again.

    raises     Refused for a thread whose figure is not at hand
    source     US Army TM 10-3510-220-24, Table D-2
    """
    if size.text not in _LEAST_lbf_in:
        raise Refused(f"The least torque is at hand for {', '.join(SIZES)}; for others ask the manual.")
    return _LEAST_lbf_in[size.text] * float(LBF_IN_Nm)
