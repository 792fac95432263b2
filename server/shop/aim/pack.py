"""The shim packs: how thick, and which shims out of the drawer."""

from collections.abc import Iterator

from server.compute.show import System
from server.shop import pack
from server.shop.aim.aim import Aim, as_found, shown
from server.shop.evidence import Evidence, of_capture

PACK_RULE = "; shims for the least error over all packs, then the fewest"


def pack_aims(evidence: Evidence, place: str, shims: dict[pack.PackAt, str], system: System) -> Iterator[Aim]:
    for key in pack.KEYS:
        found = evidence.found(key, place)
        if found is None:
            continue
        which = shims.get((key, place), "")
        formula = f"pack = as found{PACK_RULE if which else ''}"
        answer = as_found(of_capture(found), formula, "the pack that came off goes back")
        says = f"Make up {shown(answer, system)}, as found. {which}" if found.value else "No shims, as found."
        yield Aim(key, place, says.rstrip(), answer, (found,), drawer=evidence.drawer if which else ())
