"""The tie rod: its length, the turns of its sleeve, the thread that holds it."""

from collections.abc import Iterator

from server.compute import tie_rod
from server.compute.show import System
from server.shop.aim.aim import Aim, shown
from server.shop.evidence import Evidence, of_capture, of_spec
from server.store.tables import Capture, Spec


def tie_rod_aims(evidence: Evidence, place: str, system: System) -> Iterator[Aim]:
    old = evidence.found("tie-rod.length", place)
    if old is None:
        return
    length = tie_rod.preset_m.answer(old_m=of_capture(old))
    says = f"Set {shown(length, system)} between stud centres, as the old assembly was."
    yield Aim("tie-rod.length", place, says, length, (old,))
    yield from _sleeve(evidence, place, old, system)


def _sleeve(evidence: Evidence, place: str, old: Capture, system: System) -> Iterator[Aim]:
    lies = evidence.left("tie-rod.lies-at", place)
    pitch, thread = evidence.spec("tie-rod.pitch"), evidence.spec("tie-rod.thread")
    if lies is None:
        return
    if pitch is None:
        says = "Write the tie rod's thread pitch on the spec sheet to get its turns."
        yield Aim("tie-rod.turns", place, says, None, (old, lies), missing=("tie-rod.pitch",))
        return
    turns = tie_rod.sleeve_turns.answer(
        wanted_m=of_capture(old), now_m=of_capture(lies), pitch_m=of_spec(pitch)
    )
    hand = evidence.answer("tie-rod.right-hand", place)
    way = _way(turns.value, place, hand)
    says = f"{abs(turns.value):.2f} ± {turns.uncertainty:.2f} turns of the sleeve, {way}."
    yield Aim("tie-rod.turns", place, says, turns, tuple(one for one in (old, lies, hand) if one), (pitch,))
    yield from _engagement(evidence, place, pitch, thread, system)


def _way(turns: float, place: str, hand: Capture | None) -> str:
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
