"""From the maker's torque to what is pulled: window, drag, stages, order, condition of the thread."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from server.compute.constants import LBF_FT_Nm
from server.compute.refusal import Refused

STANDARD_TOLERANCE = 0.10  # of a torque given without one: US Army TM 9-2320-362-14&P, App. F
SNUG_FIRST_Nm = float(30 * LBF_FT_Nm)  # above this, a first pass at 70 %: US Army TM 5-3805-248-23-1
FIRST_PASS = 0.70  # the same manual


@dataclass(frozen=True, slots=True)
class Window:
    """The torques that are right, ends included."""

    lowest_Nm: float
    highest_Nm: float

    def __post_init__(self) -> None:
        if not 0 < self.lowest_Nm <= self.highest_Nm:
            raise Refused("A torque range runs from its lower to its higher figure, both above 0.")

    def shifted(self, torque_Nm: float) -> "Window":
        """The same window with a torque added at both ends."""
        return Window(self.lowest_Nm + torque_Nm, self.highest_Nm + torque_Nm)


def window_about(torque_Nm: float, tolerance: float = STANDARD_TOLERANCE) -> Window:
    """The window of a torque given as one figure.

    tolerance   fraction of the torque; the standard one holds only where the maker gives none
    """
    return Window(torque_Nm * (1 - tolerance), torque_Nm * (1 + tolerance))


class DragRule(Enum):
    """What to do with the torque that turns a locking nut freely; manuals differ, so name the rule."""

    ALWAYS = "Drag is always added. FAA AC 43.13-1B para 7-40 d"
    FROM_A_THIRD = "Drag is added from a third of the lowest torque up. US Army TB 43-0218"


def window_with_drag(window: Window, drag_Nm: float, rule: DragRule) -> Window:
    """What the wrench must read when the nut drags.

    drag_Nm    measured while the nut still turns freely
    source     the rule's own; TB 43-0218 leaves open a third of which end is meant, the lowest is taken here
    """
    if drag_Nm < 0:
        raise Refused("Drag is the torque that turns the nut before it seats; it cannot be below 0.")
    if rule is DragRule.FROM_A_THIRD and 3 * drag_Nm < window.lowest_Nm:
        return window
    return window.shifted(drag_Nm)


class Condition(Enum):
    """What takes torque off a figure meant for clean dry threads, and how much is left."""

    DRY = 1.0
    ENGINE_OIL = 0.9  # less 10 %: US Army TM 9-2320-362-14&P, App. F
    NEW_PLATED = 0.8  # less 20 %: the same
    INTO_ALUMINIUM = 0.7  # less 30 % or more, without an insert: the same; so the most, not the aim


def derated_Nm(torque_Nm: float, condition: Condition) -> float:
    """A dry torque for threads in this condition; not for a maker's figure that already names one."""
    return torque_Nm * condition.value


def stages_Nm(final_Nm: float, fractions: Sequence[float] | None = None) -> tuple[float, ...]:
    """The passes up to the final torque.

    fractions   of the final torque, rising; otherwise 70 % first where the final is above 30 lbf·ft (41 N·m)
    source      US Army TM 5-3805-248-23-1, torque limits
    """
    if final_Nm <= 0:
        raise Refused("The final torque must be above 0.")
    if fractions is None:
        fractions = (FIRST_PASS, 1.0) if final_Nm > SNUG_FIRST_Nm else (1.0,)
    if not fractions or any(a >= b for a, b in zip((0.0, *fractions), fractions, strict=False)):
        raise Refused("The stages must rise from one to the next, each above 0.")
    return tuple(final_Nm * fraction for fraction in fractions)


def order_on_circle(count: int) -> tuple[int, ...]:
    """The criss-cross order for fasteners numbered round a circle: 1-3-5-2-4 for five.

    returns    each step goes a quarter round or more, to where the gap between those done is widest
    source     every other one for five: US Army TM 10-4320-344-24 para 2.23.1; the rest derived
    """
    if count < 1:
        raise Refused("There must be at least one fastener.")
    order = [0]
    while len(order) < count:
        order.append(_next_across(order, count))
    return tuple(place + 1 for place in order)


def _next_across(order: list[int], count: int) -> int:
    def apart(a: int, b: int) -> int:
        return min((a - b) % count, (b - a) % count)

    def merit(place: int) -> tuple[bool, int, int, int]:
        far = 4 * apart(place, order[-1]) >= count
        return far, min(apart(place, done) for done in order), apart(place, order[-1]), -place

    return max(set(range(count)) - set(order), key=merit)


def order_in_line(count: int) -> tuple[int, ...]:
    """The order for fasteners numbered along a line: from the middle outward, side by side.

    source     common practice
    """
    if count < 1:
        raise Refused("There must be at least one fastener.")
    middle = (count + 1) / 2
    return tuple(sorted(range(1, count + 1), key=lambda place: (abs(place - middle), place)))
