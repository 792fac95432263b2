"""A castle nut at its torque: on to the next slot, or not."""

from math import radians

from server.compute import castle_nut
from server.compute.answer import Answer, Known
from server.compute.grade import Finish
from server.compute.thread import ThreadSize
from server.compute.torque import Window
from server.compute.turn import advance_m
from server.compute.unit import Quantity
from server.shop.bench.bolt import area_of
from server.shop.bench.calculator import Calculator, Line, Result, Sign
from server.shop.bench.field import beside
from server.shop.bench.figure import a_length, a_torque, an_angle
from server.shop.bench.word import Choice, Thread
from server.shop.refusal import Refusal

HOLES = (("1", "One hole through the stud"), ("2", "Two, crosswise"))
_READ_rad = radians(2)  # how well two angles are read by eye
SLOTS = tuple((str(slots), f"{slots} slots") for slots in (4, 6, 8, 10))


def _next_slot(
    *,
    lowest: Known,
    highest: Known,
    reached: Known,
    slots: str,
    holes: str,
    turn: Known | None,
    past: Known | None,
    earlier: Known | None,
    turned: Known | None,
    thread: ThreadSize | None,
    grip: Known | None,
) -> Result:
    with beside("highest"):
        window = Window(lowest.value, highest.value)
    index_rad = castle_nut.index_rad(slots=int(slots), cross_holes=int(holes))
    on, how = _way(index_rad, turn, past, f"{holes} × {slots}")
    steepest = _steepest(thread, grip)
    slope = _slope(earlier, reached, turned) or steepest
    advice = castle_nut.next_slot(window, reached_Nm=reached.value, turn_rad=on.value, slope=slope)
    turning = Answer(on.value, on.uncertainty, Quantity.ANGLE, how, "geometry", ())
    lines = [Line("turn_rad", "On to the next slot", turning)]
    if advice.at_slot:
        lines.append(Line("torque_at_slot_Nm", "Torque to expect there", advice.at_slot))
    if thread is not None:
        along = advance_m.answer(pitch_m=thread.pitch_m, angle_rad=on)
        lines.append(Line("advance_m", "Along the thread", along))
    return Result(lines=tuple(lines), verdict=advice.verdict.value, says=advice.reason)


def _way(index_rad: float, turn: Known | None, past: Known | None, makes: str) -> tuple[Known, str]:
    """How far it is to the next slot, and how that is known."""
    if turn is not None and turn.value > index_rad * 1.001:
        raise Refusal("The next slot is never further than from one slot to the next.", field="turn")
    if past is None:
        return (turn, "as seen") if turn else (Known(index_rad), f"at most from slot to slot, {makes}")
    on_rad = castle_nut.turn_on_rad(index_rad=index_rad, slot_past_hole_rad=past.value)
    if turn is not None and abs(turn.value - on_rad) > turn.uncertainty + past.uncertainty + _READ_rad:
        raise Refusal("That and the turn on do not make one step from slot to slot.", field="past")
    return Known(on_rad, past.uncertainty), f"from slot to slot, {makes}, less what the last one is past"


def _slope(earlier: Known | None, reached: Known, turned: Known | None) -> Known | None:
    if earlier is None and turned is None:
        return None
    if earlier is None or turned is None:
        missing = "earlier" if earlier is None else "turned"
        raise Refusal("The earlier torque and the turn since belong together.", field=missing)
    with beside("earlier"):
        return castle_nut.slope_Nm_per_rad.answer(first_Nm=earlier, second_Nm=reached, turn_rad=turned).known


def _steepest(thread: ThreadSize | None, grip: Known | None) -> Known | None:
    """From nothing to what the stud alone, dry, would make of it: no joint rises more steeply."""
    if grip is None:
        return None
    if thread is None:
        raise Refusal("With the length, the thread is needed too.", field="thread")
    stiffness = castle_nut.bolt_stiffness_N_per_m(area_m2=area_of(thread), grip_m=grip.value)
    steepest = castle_nut.slope_from_stiffness_Nm_per_rad(
        nut_factor=Finish.BLACK.nut_factor * (1 + Finish.BLACK.scatter),
        diameter_m=thread.diameter_m,
        stiffness_N_per_m=stiffness,
        pitch_m=thread.pitch_m,
    )
    return Known(steepest / 2, steepest / 2)


CALCULATORS = (
    Calculator(
        name="castle-nut",
        title="Castle nut: the next slot",
        subject="Torque",
        lead="At torque, and no slot meets the hole: whether to go on, and what the wrench will read there.",
        sign=Sign("warning", "Never back a castle nut off to meet the hole. A new cotter pin every time."),
        fields=(
            a_torque(name="lowest", label="Lowest torque", example="60 lbf·ft"),
            a_torque(name="highest", label="Highest torque", example="90 lbf·ft"),
            a_torque(name="reached", label="Torque reached now", example="62 lbf·ft"),
            Choice(name="slots", label="The nut has", options=SLOTS, start="6", example="6"),
            Choice(name="holes", label="The stud has", options=HOLES, start="1", example="1"),
            an_angle(
                name="turn",
                label="Turn on to the next slot",
                zero=True,
                needed=False,
                example="25°",
                help="As you see it; 0 where a slot meets the hole. Empty is the most it can be.",
            ),
            an_angle(
                name="past",
                label="The last slot is past the hole by",
                zero=True,
                needed=False,
                example="35°",
                help="If that is easier to see.",
            ),
            a_torque(
                name="earlier",
                label="An earlier torque on the same nut",
                needed=False,
                example="45 lbf·ft",
                help="With the turn since, it tells how steeply the torque rises.",
            ),
            an_angle(name="turned", label="Turn since then", needed=False, example="30°"),
            Thread(
                name="thread",
                label="Thread of the stud",
                needed=False,
                example="9/16-18",
                help="To know how far the nut travels.",
            ),
            a_length(
                name="grip",
                label="Length of stud that is pulled",
                needed=False,
                example="1 1/4 in",
                help="From taper or head to nut. Without an earlier torque, it tells the steepest rise.",
            ),
        ),
        work=_next_slot,
    ),
)
