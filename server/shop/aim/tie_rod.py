"""The tie rod: its length, the turns of its sleeve, the thread that holds it."""

from collections.abc import Iterator
from math import hypot
from typing import NamedTuple

from server.compute import tie_rod
from server.compute.answer import Answer, Known
from server.compute.show import System, show_both
from server.compute.unit import Quantity
from server.shop.aim.aim import Aim, shown
from server.shop.evidence import Evidence, of_capture, of_spec
from server.shop.realign import Outlook, joint_change
from server.store.tables import Capture, Spec

LEAST_m = 0.05e-3  # a change that nobody can set


class _Change(NamedTuple):
    """Why the new assembly is not set to the old one's length."""

    change: Known  # m, longer +
    reason: str
    captures: tuple[Capture, ...]
    specs: tuple[Spec, ...]


def tie_rod_aims(evidence: Evidence, place: str, outlook: Outlook | None, system: System) -> Iterator[Aim]:
    """Its length from the old one, corrected for the packs, the height and a new joint; then its sleeve."""
    old = evidence.found("tie-rod.length", place)
    if old is None:
        return
    changes = [*_for_the_wheel(place, outlook), *_for_the_joint(evidence, place)]
    length = tie_rod.preset_m.answer(old_m=of_capture(old), change_m=_sum(changes))
    reasons = "; ".join(_said(one, system) for one in changes) or "as the old assembly was"
    says = f"Set {shown(length, system)} between stud centres, {reasons}."
    captures = {one.id: one for change in changes for one in change.captures} | {old.id: old}
    specs = {one.id: one for change in changes for one in change.specs}
    yield Aim("tie-rod.length", place, says, length, tuple(captures.values()), tuple(specs.values()))
    yield from _sleeve(evidence, place, old, length, system)


def _for_the_wheel(place: str, outlook: Outlook | None) -> Iterator[_Change]:
    """What the packs, the height and the toe wanted call for, where there is a plan."""
    move, record = (outlook.move(place), outlook.record(place)) if outlook else (None, None)
    if outlook is None or move is None or record is None or abs(move.tie_rod_m) < LEAST_m:
        return
    reason = "for the packs and the toe" if record.toe else "to keep the toe with the packs"
    change = Known(move.tie_rod_m, move.tie_rod_off_m)
    yield _Change(change, reason, record.captures, outlook.specs)


def _for_the_joint(evidence: Evidence, place: str) -> Iterator[_Change]:
    """A new outer end whose ball sits higher or lower keeps the toe at another length."""
    line = evidence.spec("new-tie-rod.rise")
    if line is None or not evidence.is_renewed("tie-rod", place):
        return
    change = joint_change(evidence, place, of_spec(line))
    if change is not None and abs(change.value) >= LEAST_m:
        yield _Change(change, "for the new joint's height", (), (line,))


def _sum(changes: list[_Change]) -> Known:
    return Known(
        sum(one.change.value for one in changes), hypot(*(one.change.uncertainty for one in changes))
    )


def _said(one: _Change, system: System) -> str:
    change = one.change
    amount = show_both(
        abs(change.value), Quantity.LENGTH, system=system, uncertainty=change.uncertainty or None
    )
    return f"{amount} {'longer' if change.value > 0 else 'shorter'} than the old {one.reason}"


def _sleeve(evidence: Evidence, place: str, old: Capture, length: Answer, system: System) -> Iterator[Aim]:
    lies = evidence.left("tie-rod.lies-at", place)
    pitch, thread = evidence.spec("tie-rod.pitch"), evidence.spec("tie-rod.thread")
    if lies is None:
        return
    if pitch is None:
        says = "Write the tie rod's thread pitch on the spec sheet to get its turns."
        yield Aim("tie-rod.turns", place, says, None, (old, lies), missing=("tie-rod.pitch",))
        return
    turns = tie_rod.sleeve_turns.answer(wanted_m=length.known, now_m=of_capture(lies), pitch_m=of_spec(pitch))
    hand = evidence.answer("tie-rod.right-hand", place)
    which_way = way(turns.value, place, hand)
    says = f"{abs(turns.value):.2f} ± {turns.uncertainty:.2f} turns of the sleeve, {which_way}."
    yield Aim("tie-rod.turns", place, says, turns, tuple(one for one in (old, lies, hand) if one), (pitch,))
    yield from _engagement(evidence, place, pitch, thread, system)


def way(turns: float, place: str, hand: Capture | None) -> str:
    """Which way the sleeve's top goes; without knowing the threads' hands, only what it has to do."""
    if hand is None:
        return "to lengthen" if turns > 0 else "to shorten"
    side = tie_rod.Side.LEFT if place == "LF" else tie_rod.Side.RIGHT
    end = tie_rod.End.OUTER if hand.text.startswith("Outer") else tie_rod.End.INNER
    return tie_rod.top_goes(turns, side=side, right_hand=end)


def _engagement(
    evidence: Evidence, place: str, pitch: Spec, thread: Spec | None, system: System
) -> Iterator[Aim]:
    length = evidence.left("tie-rod.thread-length", place)
    for end in ("inner", "outer"):
        key, showing = f"tie-rod.engaged-{end}", evidence.left(f"tie-rod.threads-{end}", place)
        if length is None or showing is None:
            continue
        held = tie_rod.engaged_m.answer(
            thread_length_m=of_capture(length), showing=of_capture(showing), pitch_m=of_spec(pitch)
        )
        says = f"{end.capitalize()} end held by {shown(held, system)}"
        if thread is None:
            says += ". Write the thread's diameter on the spec sheet to know whether that is enough."
            yield Aim(key, place, says, held, (length, showing), (pitch,), missing=("tie-rod.thread",))
        else:
            enough = held.value - held.uncertainty >= thread.low
            verdict = "enough" if enough else "too little: it must hold by at least one thread diameter"
            yield Aim(key, place, f"{says}: {verdict}.", held, (length, showing), (pitch, thread))
