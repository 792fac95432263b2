"""The new tie-rod set from the old."""

from server.compute.answer import Answer, Input, Known
from server.compute.thread import ThreadSize
from server.compute.tie_rod import End, Preset, RodEnd, Seated, Side, preset, preset_m
from server.compute.unit import Quantity
from server.shop.bench.calculator import Calculator, Line, Result
from server.shop.bench.field import beside
from server.shop.bench.figure import a_length, a_number
from server.shop.bench.word import Choice, Thread

SUBJECT = "Tie rods and wheel angles"
KEEP = "Keep the old assembly until the new one is set and recorded."


def _preset(
    *,
    old: Known,
    now: Known,
    change: Known | None,
    thread: ThreadSize,
    outer_thread: Known,
    outer_showing: Known,
    inner_thread: Known,
    inner_showing: Known,
    side: str,
    right_hand: str,
) -> Result:
    with beside("change"):
        preset_m(old_m=old.value, change_m=change.value if change else 0.0)
    with beside("now"):
        found = preset(
            old=old,
            now=now,
            change=change or 0.0,
            outer=RodEnd(outer_thread, outer_showing),
            inner=RodEnd(inner_thread, inner_showing),
            pitch_m=thread.pitch_m,
            diameter_m=thread.diameter_m,
            side=Side(side),
            right_hand=End(right_hand),
        )
    return Result(lines=_lines(found), big=2, verdict=found.direction, cautions=(*found.cautions, KEEP))


def _lines(found: Preset) -> tuple[Line, ...]:
    return (
        Line("length_m", "Set between stud centres", found.length),
        Line("turns", "Turns of the sleeve", found.turns),
        *_end("outer", found.outer),
        *_end("inner", found.inner),
    )


def _end(end: str, seated: Seated) -> tuple[Line, Line]:
    showing = Answer(
        seated.showing,
        next(one.uncertainty for one in seated.engaged.inputs if one.name == "showing"),
        Quantity.NUMBER,
        "threads showing now + turns",
        "each turn brings one thread out of each end; geometry",
        (Input("after the turns", seated.showing, "", 0.0),),
    )
    return (
        Line(f"{end}_engaged_m", f"{end.capitalize()} end held by", seated.engaged),
        Line(f"{end}_showing", f"Threads showing then, {end} end", showing),
    )


CALCULATORS = (
    Calculator(
        name="tie-rod-preset",
        title="New tie rod set from the old",
        subject=SUBJECT,
        lead="Length between stud centres, turns of the sleeve and which way, and whether both ends hold.",
        fields=(
            a_length(name="old", label="Old assembly, between stud centres", example="13 21/32 in"),
            a_length(name="now", label="New assembly as it lies there", example="13 9/32 in"),
            a_length(
                name="change",
                label="Change wanted",
                signed=True,
                example="0 mm",
                help="With a minus to shorten. Empty keeps the old length.",
                needed=False,
            ),
            Thread(
                name="thread", label="Thread of the sleeve", example="11/16-18", help="11/16-18 or M16x1.5."
            ),
            a_length(name="outer_thread", label="Outer end: length of its thread", example="3.00 in"),
            a_number(name="outer_showing", label="Outer end: threads showing now", zero=True, example="18"),
            a_length(name="inner_thread", label="Inner end: length of its thread", example="3.00 in"),
            a_number(name="inner_showing", label="Inner end: threads showing now", zero=True, example="18"),
            Choice(
                name="side",
                label="Side of the car",
                options=((Side.LEFT.value, "Left"), (Side.RIGHT.value, "Right")),
                example=Side.LEFT.value,
            ),
            Choice(
                name="right_hand",
                label="The right-hand thread is at the",
                options=((End.OUTER.value, "Outer end"), (End.INNER.value, "Inner end")),
                example=End.OUTER.value,
            ),
        ),
        work=_preset,
    ),
)
