"""Every figure that has to be true on the way up, worked out from what was found."""

from server.compute.show import System
from server.procedure.fact import CORNERS
from server.procedure.model import FrontEnd
from server.shop import pack
from server.shop.aim.aim import Aim
from server.shop.aim.next_move import next_move_aims
from server.shop.aim.pack import pack_aims
from server.shop.aim.reading import likely_aim
from server.shop.aim.spring import spring_aims
from server.shop.aim.tie_rod import tie_rod_aims
from server.shop.aim.torque import torque_aims
from server.shop.aim.wheel import angle_aims, ride_height_aims, toe_aims
from server.shop.evidence import Evidence
from server.shop.realign import outlook

READ_AGAIN = " Worn joints read wrong and new ones sit elsewhere: read again on the floor."


def aims(evidence: Evidence, front_end: FrontEnd, *, system: System) -> list[Aim]:
    """Every target that this evidence carries, corner by corner, then the car's own."""
    refit, now = outlook(evidence, "found"), outlook(evidence, "left")
    as_found = [place for place in CORNERS if refit is None or refit.move(place) is None]
    shims = pack.which_shims(evidence, system=system, places=as_found)
    found: list[Aim] = []
    for place in CORNERS:
        found += tie_rod_aims(evidence, place, refit, system)
        found += pack_aims(evidence, place, shims, refit, system)
        found += spring_aims(evidence, place, system)
        found += ride_height_aims(evidence, place, refit, system)
        found += angle_aims(evidence, place, system)
    if refit is not None:
        found.append(likely_aim("packs", refit, again=READ_AGAIN))
    found += next_move_aims(evidence, now, system)
    return found + list(toe_aims(evidence, system)) + list(torque_aims(evidence, front_end, system))
