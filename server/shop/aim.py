"""Each figure that has to be true on the way up, worked out from what was found. One function a subject."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import radians

from server.compute import alignment, spring, tie_rod
from server.compute.answer import Answer, Known
from server.compute.refusal import Refused
from server.compute.show import System, show_both
from server.compute.unit import Quantity
from server.procedure.fact import CORNERS
from server.procedure.model import FrontEnd
from server.shop import pack
from server.shop.evidence import Evidence, of_capture, of_spec
from server.store.tables import Capture, Shim, Spec

SWEEP_rad = radians(20)
OLD_SPRING = ("spring.rate", "spring.free-length")
NEW_SPRING = ("new-spring.rate", "new-spring.free-length")
PACK_RULE = "; shims for the least error over all packs, then the fewest"
GRASP_kg = 50.0  # the mass whose fall makes a spring's energy something one can picture


@dataclass(frozen=True, slots=True)
class Aim:
    """One target as it comes out now: a figure with its why, or the sentence that says why there is none."""

    key: str
    place: str
    says: str
    answer: Answer | None = None
    captures: tuple[Capture, ...] = ()
    specs: tuple[Spec, ...] = ()
    missing: tuple[str, ...] = ()  # keys of the lines that the spec sheet has not
    drawer: tuple[Shim, ...] = ()  # what was in it


def aims(evidence: Evidence, front_end: FrontEnd, *, system: System) -> list[Aim]:
    """Every target that this evidence carries, corner by corner, then the car's own."""
    found: list[Aim] = []
    shims = pack.which_shims(evidence, system=system)
    for place in CORNERS:
        found += _tie_rod(evidence, place, system)
        found += _packs(evidence, place, shims, system)
        found += _spring(evidence, place, system)
        found += _ride_height(evidence, place, system)
        found += _wheel_angles(evidence, place, system)
    return found + list(_toe(evidence, system)) + list(_torques(evidence, front_end, system))


def _tie_rod(evidence: Evidence, place: str, system: System) -> Iterator[Aim]:
    old = evidence.found("tie-rod.length", place)
    if old is None:
        return
    length = tie_rod.preset_m.answer(old_m=of_capture(old))
    says = f"Set {_shown(length, system)} between stud centres, as the old assembly was."
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
        says = f"{end.capitalize()} end held by {_shown(held, system)}"
        if thread is None:
            says += ". Write the thread's diameter on the spec sheet to know whether that is enough."
            yield Aim(key, place, says, held, (length, showing), (pitch,), missing=("tie-rod.thread",))
        else:
            enough = held.value - held.uncertainty >= thread.low
            verdict = "enough" if enough else "too little: it must hold by at least one thread diameter"
            yield Aim(key, place, f"{says}: {verdict}.", held, (length, showing), (pitch, thread))


def _packs(evidence: Evidence, place: str, shims: dict[pack.PackAt, str], system: System) -> Iterator[Aim]:
    for key in pack.KEYS:
        found = evidence.found(key, place)
        if found is None:
            continue
        which = shims.get((key, place), "")
        formula = f"pack = as found{PACK_RULE if which else ''}"
        answer = _as_found(of_capture(found), formula, "the pack that came off goes back")
        says = (
            f"Make up {_shown(answer, system)}, as found. {which}" if found.value else "No shims, as found."
        )
        yield Aim(key, place, says.rstrip(), answer, (found,), drawer=evidence.drawer if which else ())


def _spring(evidence: Evidence, place: str, system: System) -> Iterator[Aim]:
    length = evidence.found("spring.compressed-length", place)
    if length is None:
        return
    if evidence.is_renewed("spring", place):
        yield from _other_spring(evidence, place, length, system)
        return
    answer = _as_found(of_capture(length), "length = as found", "it went in and came out at this length")
    says = f"Press it to {_shown(answer, system)}, as found."
    aim = Aim("spring.compressed-length", place, says, answer, (length,))
    missing = evidence.lacks_specs(*OLD_SPRING)
    if missing:
        says = "Write the spring's rate and free length on the spec sheet to know its force and energy."
        yield aim
        yield Aim("spring.energy", place, says, None, (length,), missing=missing)
        return
    rate, free = (evidence.specs[key] for key in OLD_SPRING)
    yield from _pressed(evidence, aim, answer.known, (rate, free), "spring.solid-length", system)


def _other_spring(evidence: Evidence, place: str, length: Capture, system: System) -> Iterator[Aim]:
    """Another spring goes in: through the same gap, so pressed as short as the old one; it sits elsewhere."""
    missing = evidence.lacks_specs(*NEW_SPRING)
    if missing:
        says = "A new spring goes in: write its rate and free length on the spec sheet."
        yield Aim("spring.compressed-length", place, says, None, (length,), missing=missing)
        return
    rate, free = (evidence.specs[key] for key in NEW_SPRING)
    answer = _as_found(of_capture(length), "length = as found", "the gap that the old one came out of")
    says = f"Press the new one to {_shown(answer, system)}: the gap the old one came out of."
    aim = Aim("spring.compressed-length", place, says, answer, (length,), (rate, free))
    yield from _pressed(evidence, aim, answer.known, (rate, free), "new-spring.solid-length", system)


def _pressed(
    evidence: Evidence, aim: Aim, length: Known, lines: tuple[Spec, Spec], solid_key: str, system: System
) -> Iterator[Aim]:
    """The length with its force and energy; if it must not be pressed that far, no length but the reason."""
    solid, rating = evidence.spec(solid_key), evidence.spec("compressor.rating")
    used = tuple(line for line in (*lines, solid, rating) if line)
    body = spring.Spring(of_spec(lines[0]), of_spec(lines[1]), of_spec(solid) if solid else None)
    try:
        pressed = spring.compress(body, length, rating_N=rating.low if rating else None)
    except Refused as refused:
        for key in (aim.key, "spring.energy"):
            yield Aim(key, aim.place, str(refused), None, aim.captures, used)
        return
    yield aim
    unchecked = "" if rating else " The compressor's rating is not on the spec sheet: not checked."
    cautions = "".join(f" {caution}" for caution in pressed.cautions)
    force = f"It pushes with {_shown(pressed.force, system)}.{unchecked}{cautions}"
    yield Aim("spring.force", aim.place, force, pressed.force, aim.captures, used)
    fall = spring.drop_height_m(energy_J=pressed.energy.value, mass_kg=GRASP_kg)
    energy = f"It holds {_shown(pressed.energy, system)}: {GRASP_kg:.0f} kg falling {fall:.1f} m."
    yield Aim("spring.energy", aim.place, energy, pressed.energy, aim.captures, used)


def _ride_height(evidence: Evidence, place: str, system: System) -> Iterator[Aim]:
    for key in ("ride-height", "ride-height.frame"):
        height, line = evidence.found(key, place), evidence.spec("ride-height")
        if key == "ride-height" and line is not None:
            yield _from_sheet(key, place, line, system)
        elif height is not None:
            answer = _as_found(of_capture(height), "height = as found", "the car as it came in")
            yield Aim(key, place, f"{_shown(answer, system)} as found.", answer, (height,))


def _wheel_angles(evidence: Evidence, place: str, system: System) -> Iterator[Aim]:
    for key in ("camber", "caster"):
        yield from _from_sheet_if_there(evidence, key, place, system, is_asked=key in evidence.asked)
    out, turned_in = evidence.left("camber.turned-out", place), evidence.left("camber.turned-in", place)
    if out is not None and turned_in is not None:
        swept = alignment.caster_by_sweep_rad.answer(
            camber_out_rad=of_capture(out), camber_in_rad=of_capture(turned_in), steer_rad=SWEEP_rad
        )
        says = f"Caster now {_shown(swept, system)}, swept 20° each way."
        yield Aim("caster.swept", place, says, swept, (out, turned_in))


def _toe(evidence: Evidence, system: System) -> Iterator[Aim]:
    is_asked = "toe.tape-front" in evidence.asked
    yield from _from_sheet_if_there(evidence, "toe.total", "car", system, is_asked=is_asked)
    for name, figure in (("found", evidence.found), ("left", evidence.left)):
        front, rear = figure("toe.tape-front", "car"), figure("toe.tape-rear", "car")
        diameter = figure("toe.tape-diameter", "car")
        if front is None or rear is None:
            continue
        toe = alignment.toe_difference_m.answer(rear_m=of_capture(rear), front_m=of_capture(front))
        way = "in" if toe.value > 0 else "out" if toe.value < 0 else "neither in nor out"
        says = f"Total toe {'as found' if name == 'found' else 'now'}: {_shown(toe, system)}, {way}."
        yield Aim(f"toe.{name}", "car", says, toe, (front, rear))
        if diameter is not None:
            angle = alignment.total_toe_rad.answer(toe_m=toe.known, diameter_m=of_capture(diameter))
            says = f"As an angle {_shown(angle, system)} for both wheels together."
            yield Aim(f"toe.{name}-angle", "car", says, angle, (front, rear, diameter))


def _torques(evidence: Evidence, front_end: FrontEnd, system: System) -> Iterator[Aim]:
    for fastener in front_end.fasteners:
        if fastener.id not in evidence.tightened:
            continue
        line = evidence.spec(fastener.torque)
        if line is None:
            says = f"{fastener.name}: the spec sheet has no torque for it."
            yield Aim(fastener.torque, "car", says, missing=(fastener.torque,))
            continue
        aim = _from_sheet(fastener.torque, "car", line, system)
        generic = " A generic value, not the maker's: a foreman has to agree." if line.generic else ""
        yield replace(aim, says=f"{fastener.name}: {aim.says}{generic}")


def _from_sheet_if_there(
    evidence: Evidence, key: str, place: str, system: System, *, is_asked: bool
) -> Iterator[Aim]:
    """What the sheet says; where it says nothing, that, if a later step asks for the figure."""
    line = evidence.spec(key)
    if line is not None:
        yield _from_sheet(key, place, line, system)
    elif is_asked:
        yield Aim(key, place, "The spec sheet says nothing of it.", missing=(key,))


def _from_sheet(key: str, place: str, line: Spec, system: System) -> Aim:
    middle = of_spec(line)
    answer = Answer(
        middle.value, middle.uncertainty, Quantity(line.quantity), "as on the spec sheet", line.source, ()
    )
    return Aim(key, place, f"{_shown(answer, system)} by the spec sheet.", answer, (), (line,))


def _as_found(known: Known, formula: str, source: str) -> Answer:
    return Answer(known.value, known.uncertainty, Quantity.LENGTH, formula, source, ())


def _shown(answer: Answer, system: System) -> str:
    return show_both(answer.value, answer.quantity, system=system, uncertainty=answer.uncertainty or None)
