"""The spring: how short it is pressed, and what it then holds."""

from collections.abc import Iterator

from server.compute import spring
from server.compute.answer import Known
from server.compute.refusal import Refused
from server.compute.show import System
from server.shop.aim.aim import Aim, as_found, shown
from server.shop.evidence import Evidence, of_capture, of_spec
from server.shop.realign import NEW_COIL, OLD_COIL
from server.store.tables import Capture, Spec

GRASP_kg = 50.0  # the mass whose fall makes a spring's energy something one can picture


def spring_aims(evidence: Evidence, place: str, system: System) -> Iterator[Aim]:
    length = evidence.found("spring.compressed-length", place)
    if length is None:
        return
    if evidence.is_renewed("spring", place):
        yield from _other_spring(evidence, place, length, system)
        return
    answer = as_found(of_capture(length), "length = as found", "it went in and came out at this length")
    says = f"Press it to {shown(answer, system)}, as found."
    aim = Aim("spring.compressed-length", place, says, answer, (length,))
    missing = evidence.lacks_specs(*OLD_COIL)
    if missing:
        says = "Write the spring's rate and free length on the spec sheet to know its force and energy."
        yield aim
        yield Aim("spring.energy", place, says, None, (length,), missing=missing)
        return
    rate, free = (evidence.specs[key] for key in OLD_COIL)
    yield from _pressed(evidence, aim, answer.known, (rate, free), "spring.solid-length", system)


def _other_spring(evidence: Evidence, place: str, length: Capture, system: System) -> Iterator[Aim]:
    """Another spring goes in: through the same gap, so pressed as short as the old one; it sits elsewhere."""
    missing = evidence.lacks_specs(*NEW_COIL)
    if missing:
        says = "A new spring goes in: write its rate and free length on the spec sheet."
        yield Aim("spring.compressed-length", place, says, None, (length,), missing=missing)
        return
    rate, free = (evidence.specs[key] for key in NEW_COIL)
    answer = as_found(of_capture(length), "length = as found", "the gap that the old one came out of")
    says = f"Press the new one to {shown(answer, system)}: the gap the old one came out of."
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
    force = f"It pushes with {shown(pressed.force, system)}.{unchecked}{cautions}"
    yield Aim("spring.force", aim.place, force, pressed.force, aim.captures, used)
    fall = spring.drop_height_m(energy_J=pressed.energy.value, mass_kg=GRASP_kg)
    energy = f"It holds {shown(pressed.energy, system)}: {GRASP_kg:.0f} kg falling {fall:.1f} m."
    yield Aim("spring.energy", aim.place, energy, pressed.energy, aim.captures, used)
