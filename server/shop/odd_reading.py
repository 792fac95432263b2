"""A reading far from what the packs that are in should give: read again before anything is changed by it."""

from collections.abc import Iterator, Mapping
from math import radians

from server.compute.show import show
from server.compute.unit import Quantity
from server.shop.evidence import Evidence
from server.shop.pack import KEYS as PACKS
from server.shop.wheel_record import pack_in
from server.store.tables import Target

# More than worn joints and new parts explain on their own: our own guess.
FAR_rad = {"camber": radians(1.0), "caster": radians(2.0)}
ALIKE_m = 0.0254 / 32  # packs nearer than that are those that were planned: our own choice


def odd_readings(evidence: Evidence, targets: Mapping[tuple[str, str], Target], place: str) -> Iterator[str]:
    """What of a wheel on the floor reads far from what was expected of its packs, as sentences."""
    if not _as_planned(evidence, targets, place):
        return
    for name, far_rad in FAR_rad.items():
        read, expected = evidence.left(name, place), targets.get((f"packs.{name}", place))
        if read is None or read.value is None or expected is None or expected.value is None:
            continue
        off_rad = expected.uncertainty or 0.0
        if abs(read.value - expected.value) > far_rad + off_rad:
            reads = show(read.value, Quantity.ANGLE, system="inch")
            was_to_be = show(expected.value, Quantity.ANGLE, system="inch", uncertainty=off_rad or None)
            yield (
                f"{name.capitalize()} reads {reads}; with these packs {was_to_be} was to be expected. Read it"
                " again before a pack is touched. If it stands, look for what is loose, mixed up or bent."
            )


def _as_planned(evidence: Evidence, targets: Mapping[tuple[str, str], Target], place: str) -> bool:
    for key in PACKS:
        is_in, planned = pack_in(evidence, key, place), targets.get((key, place))
        if is_in is None or planned is None or planned.value is None:
            return False
        if abs(is_in.value - planned.value) > ALIKE_m:
            return False
    return True
