"""Corners to draw."""

from math import radians

from server.compute.answer import Known
from server.compute.corner import Corner, Hand
from server.compute.layout import Steer, short
from server.compute.linkage import at_arm
from server.compute.pose import Pose
from server.shop.pose import stood

READ = {"camber": radians(-0.5), "caster": radians(3.0), "toe": radians(0.1)}


def corner(hand: Hand = Hand.LEFT, steer: Steer = Steer.BEHIND, **lengths_m: float) -> Corner:
    """The usual corner, with some of its lengths otherwise: `upper_arm=0.13`."""
    measured = {name.replace("_", "-"): Known(one, 0.001) for name, one in lengths_m.items()}
    return stood(short(measured, steer).corner(hand), READ)


def pose(hand: Hand = Hand.LEFT, steer: Steer = Steer.BEHIND) -> Pose:
    """As it stands."""
    return at_arm(corner(hand, steer))
