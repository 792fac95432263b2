"""Corners as they might be measured under a car: every hard point anywhere in a box."""

import numpy as np

from server.compute.corner import POINTS, Corner, Hand
from server.compute.linkage import Setting, Shaft

_BOXES_mm = {  # a left corner: least and most along each axis
    "upper_front": ((70, 130), (400, 450), (430, 490)),
    "upper_rear": ((-130, -70), (400, 450), (420, 480)),
    "stud_front": ((40, 90), (400, 450), (430, 490)),
    "stud_rear": ((-90, -40), (400, 450), (420, 480)),
    "upper_ball": ((-30, 15), (630, 670), (425, 480)),
    "lower_front": ((90, 160), (290, 340), (205, 240)),
    "lower_rear": ((-190, -110), (280, 330), (205, 240)),
    "lower_ball": ((-10, 15), (670, 710), (175, 220)),
    "tie_inner": ((-155, -115), (320, 380), (190, 240)),
    "tie_outer": ((-155, -125), (630, 680), (175, 215)),
    "spring_lower": ((-30, 30), (460, 530), (180, 210)),
    "spring_upper": ((-30, 30), (440, 500), (400, 460)),
    "wheel_centre": ((-5, 5), (735, 790), (300, 340)),
}


def corners(random: np.random.Generator, many: int, hand: Hand, *, ahead: bool = False) -> Corner:
    """So many at once; all with the linkage ahead of the axle or all behind it."""
    left = {
        name: random.uniform(*np.array(box).T[..., None], (3, many)) / 1e3 for name, box in _BOXES_mm.items()
    }
    if ahead:
        for end in ("tie_inner", "tie_outer"):
            left[end] = left[end] * [[-1.0], [1.0], [1.0]]
    camber, toe = np.deg2rad(random.uniform(-2, 2, (2, many)))
    left["spin"] = np.stack((np.cos(camber) * np.sin(toe), np.cos(camber) * np.cos(toe), -np.sin(camber)))
    found = Corner(**left, loaded_radius=random.uniform(0.3, 0.34, many))
    return found if hand is Hand.LEFT else found.mirrored()


def settings(random: np.random.Generator, many: int, shaft: Shaft = Shaft.STRAIGHT_ACROSS) -> Setting:
    """Packs and rods as they are changed in a shop, the wheel turned up to some 20 degrees."""
    return Setting(
        front_m=random.uniform(-6e-3, 6e-3, many),
        rear_m=random.uniform(-6e-3, 6e-3, many),
        tie_rod_m=random.uniform(-6e-3, 6e-3, many),
        link_m=random.uniform(-45e-3, 45e-3, many),
        shaft=shaft,
    )


def one_of(corner: Corner, place: int) -> Corner:
    """A single corner of many."""
    points = {name: getattr(corner, name)[:, place] for name in POINTS}
    return Corner(**points, loaded_radius=corner.loaded_radius[place], hand=corner.hand)


def one_setting(setting: Setting, place: int | tuple[int, ...]) -> Setting:
    """A single setting of many."""
    front, rear, rod, link = (np.asarray(figure)[place] for figure in setting.figures)
    return Setting(front, rear, rod, link, setting.shaft)
