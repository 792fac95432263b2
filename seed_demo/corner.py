"""Corners of invented cars: what somebody with a tape got at, and one car set up in a measuring frame."""

# All but what cannot be got at with the engine in, and what the plumb lines were not hung for.
TAPED_in = {
    "corner.steer": "behind",
    "corner.shaft-at": "inboard",
    "corner.wheel-height": "12 1/8 in",
    "corner.lower-ball-height": "8 1/16 in",
    "corner.upper-ball-height": "17 5/8 in",
    "corner.lower-pivot-height": "8 7/8 in",
    "corner.upper-pivot-height": "18 1/4 in ± 1/8",
    "corner.shaft-rise": "3/8 in",
    "corner.tie-outer-height": "7 3/4 in",
    "corner.tie-inner-height": "8 5/8 in",
    "corner.lower-arm": "15 1/4 in",
    "corner.upper-arm": "8 13/16 in",
    "corner.stud-spacing": "6 1/8 in",
    "corner.pivot-spacing": "8 1/4 in",
    "corner.ball-out": "26 1/2 in ± 1/4",
    "corner.ball-inset": "1 5/8 in ± 1/8",
    "corner.ball-ahead": "-3/16 in ± 1/8",
    "corner.steering-arm": "5 3/4 in",
    "corner.tie-rod": "13 5/16 in",
}

# What a quarter of an hour gives.
GLIMPSED_in = {
    "corner.steer": "behind",
    "corner.shaft-at": "outboard",
    "corner.wheel-height": "11 7/8 in",
    "corner.lower-ball-height": "7 3/4 in",
    "corner.upper-ball-height": "17 1/2 in",
    "corner.upper-arm": "8 1/2 in",
    "corner.lower-arm": "14 3/4 in",
}

_FRAMED_mm = {  # ahead, out, up
    "upper-front": (98, 424, 468),
    "upper-rear": (-104, 427, 459),
    "stud-front": (70, 425, 467),
    "stud-rear": (-76, 426, 460),
    "upper-ball": (-6, 642, 449),
    "lower-front": (148, 296, 226),
    "lower-rear": (-152, 294, 222),
    "lower-ball": (4, 676, 199),
    "tie-inner": (-138, 336, 214),
    "tie-outer": (-140, 640, 192),
    "spring-lower": (2, 492, 209),
    "spring-upper": (0, 488, 479),
    "wheel-centre": (0, 748, 302),
}
FRAMED = {"corner.shaft-at": "outboard"} | {
    f"point.{place}.{axis}": f"{figure} mm ± 2 mm"
    for place, figures in _FRAMED_mm.items()
    for axis, figure in zip(("ahead", "out", "up"), figures, strict=True)
}
