"""What would bring a changed corner back to the spec sheet, in words: packs, then the tie rod."""

from collections.abc import Iterator, Mapping
from re import sub

from server.compute.answer import Known
from server.compute.layout import ShaftAt
from server.compute.show import System, show_both
from server.compute.tie_rod import sleeve_turns
from server.compute.unit import Quantity
from server.compute.what_if import Back
from server.shop.aim.tie_rod import LEAST_m, way
from server.shop.evidence import Evidence, of_spec
from server.shop.pack import KEYS as PACKS
from server.shop.pack import ALIKE_m
from server.shop.wheel_record import pack_in

Tried = Mapping[str, float]  # `front` and `rear`: what is tried at a pack [m]


def way_back(
    evidence: Evidence, back: Back | None, tried: Tried, shaft: ShaftAt, place: str, *, system: System
) -> Iterator[str]:
    """A sentence for each pack and one for the tie rod; or that there is no way."""
    if back is None:
        yield "No packs and no tie-rod length bring it there."
        return
    front_off_m, rear_off_m, rod_off_m = back.off_m
    for key, move_m, off_m in zip(PACKS, (back.front_m, back.rear_m), (front_off_m, rear_off_m), strict=True):
        yield _say_pack(evidence, tried, place, key, Known(shaft.outboard * move_m, off_m), system)
    yield _say_rod(evidence, place, Known(back.tie_rod_m, rod_off_m), system)


def too_thin(evidence: Evidence, tried: Tried, place: str, *, system: System) -> Iterator[str]:
    """A pack of which more is taken out than is in it."""
    for key in PACKS:
        end, pack = _end(key), pack_in(evidence, key, place)
        if pack is not None and pack.value + tried.get(end, 0.0) < -ALIKE_m:
            yield f"There is only {_both(pack.value, 0, system)} in the {end} pack."


def _say_pack(evidence: Evidence, tried: Tried, place: str, key: str, more: Known, system: System) -> str:
    end = _end(key)
    if abs(more.value) < ALIKE_m:
        return f"Leave the {end} pack."
    verb, word = ("Add", "to") if more.value > 0 else ("Take", "out of")
    says = f"{verb} {_both(abs(more.value), more.uncertainty, system)} {word} the {end} pack"
    pack = pack_in(evidence, key, place)
    if pack is None:
        return f"{says}."
    then_m = pack.value + tried.get(end, 0.0) + more.value
    if then_m < -ALIKE_m:
        return f"{says}: that is {_about(-then_m, more.uncertainty, system)} more than would be in it."
    then = f"{says}: about {_about(max(then_m, 0.0), more.uncertainty, system)} then"
    return f"{then}{_too_thick(evidence, then_m, system)}."


def _too_thick(evidence: Evidence, then_m: float, system: System) -> str:
    most = evidence.spec("pack.most")
    if most is None or then_m <= of_spec(most).value + ALIKE_m:
        return ""
    return f", more than the {_both(of_spec(most).value, 0, system)} that the spec sheet allows"


def _say_rod(evidence: Evidence, place: str, longer: Known, system: System) -> str:
    if abs(longer.value) < LEAST_m:
        return "Leave the tie rod."
    by = _both(abs(longer.value), longer.uncertainty, system)
    says = f"Make the tie rod {by} {'longer' if longer.value > 0 else 'shorter'}"
    pitch = evidence.spec("tie-rod.pitch")
    if pitch is None:
        return f"{says}."
    turns = sleeve_turns.answer(wanted_m=longer, now_m=0.0, pitch_m=of_spec(pitch))
    which_way = way(turns.value, place, evidence.answer("tie-rod.right-hand", place))
    return f"{says}: {abs(turns.value):.2f} ± {turns.uncertainty:.2f} turns of the sleeve, {which_way}."


def _both(length_m: float, off_m: float, system: System) -> str:
    return show_both(length_m, Quantity.LENGTH, system=system, uncertainty=off_m or None)


def _about(length_m: float, off_m: float, system: System) -> str:
    """No finer than it is sure."""
    return sub(r" ± [^(]*?(?= \(|\)|$)", "", _both(length_m, off_m, system))


def _end(key: str) -> str:
    """`front` for pack.front."""
    return key.partition(".")[2]
