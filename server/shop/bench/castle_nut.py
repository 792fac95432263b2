"""A castle nut at its torque: on to the next slot, or not."""

from server.compute import castle_nut
from server.compute.answer import Answer, Known
from server.compute.torque import Window
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result, Sign
from server.shop.bench.field import beside
from server.shop.bench.figure import a_torque, an_angle
from server.shop.bench.word import Choice
from server.shop.refusal import Refusal

HOLES = (("1", "One hole through the stud"), ("2", "Two, crosswise"))
SLOTS = tuple((str(slots), f"{slots} slots") for slots in (4, 6, 8, 10))


def _next_slot(
    *,
    lowest: Known,
    highest: Known,
    reached: Known,
    slots: str,
    holes: str,
    turn: Known | None,
    earlier: Known | None,
    turned: Known | None,
) -> Result:
    with beside("highest"):
        window = Window(lowest.value, highest.value)
    index_rad = castle_nut.index_rad(slots=int(slots), cross_holes=int(holes))
    on = turn or Known(index_rad)
    if on.value > index_rad * 1.001:
        raise Refusal("The next slot is never further than from one slot to the next.", field="turn")
    slope = _slope(earlier, reached, turned)
    known = slope.known if slope else None
    advice = castle_nut.next_slot(window, reached_Nm=reached.value, turn_rad=on.value, slope=known)
    how = "as seen" if turn else f"at most from slot to slot, {holes} × {slots}"
    lines = [Line("turn_rad", "On to the next slot", _turn(on, how))]
    if advice.at_slot:
        lines.append(Line("torque_at_slot_Nm", "Torque to expect there", advice.at_slot))
    return Result(lines=tuple(lines), verdict=advice.verdict.value, says=advice.reason)


def _slope(earlier: Known | None, reached: Known, turned: Known | None) -> Answer | None:
    if earlier is None and turned is None:
        return None
    if earlier is None or turned is None:
        missing = "earlier" if earlier is None else "turned"
        raise Refusal("The earlier torque and the turn since belong together.", field=missing)
    with beside("earlier"):
        return castle_nut.slope_Nm_per_rad.answer(first_Nm=earlier, second_Nm=reached, turn_rad=turned)


def _turn(on: Known, how: str) -> Answer:
    return Answer(on.value, on.uncertainty, Quantity.ANGLE, how, "geometry", ())


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
            a_torque(
                name="earlier",
                label="An earlier torque on the same nut",
                needed=False,
                example="45 lbf·ft",
                help="With the turn since, it tells how steeply the torque rises.",
            ),
            an_angle(
                name="turned",
                label="Turn since then",
                needed=False,
                example="30°",
            ),
        ),
        work=_next_slot,
    ),
)
