"""Every length that a corner can be described by: the short form for a tape, the long form of hard points.

What is usual, and how wide such cars differ, is our own guess, no source.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Dimension:
    """One length of a corner."""

    key: str
    name: str
    how: str  # it is measured
    usual_m: float = 0.0
    spread_m: float = 0.0  # standard deviation of the guess; 0 for what cannot be guessed
    signed: bool = False


SHORT = (
    Dimension("wheel-height", "Wheel centre above the floor", "Floor to the hub's centre.", 0.300, 0.015),
    Dimension(
        "ball-out",
        "Lower ball joint from the car's centre line",
        "Plumb lines on the floor, half of the distance between both sides.",
        0.680,
        0.030,
    ),
    Dimension(
        "wheel-out",
        "Tread's middle outboard of the lower ball joint",
        "Plumb lines on the floor.",
        0.075,
        0.020,
    ),
    Dimension(
        "lower-ball-height", "Lower ball joint above the floor", "To the middle of the ball.", 0.200, 0.015
    ),
    Dimension(
        "upper-ball-height", "Upper ball joint above the floor", "To the middle of the ball.", 0.450, 0.020
    ),
    Dimension(
        "lower-pivot-height",
        "Lower pivots above the floor",
        "To the pivot bolts' middle, mean of both.",
        0.225,
        0.015,
    ),
    Dimension(
        "upper-pivot-height",
        "Upper shaft above the floor",
        "To the shaft's middle, mean of both ends.",
        0.460,
        0.020,
    ),
    Dimension(
        "shaft-rise",
        "Upper shaft's front end above its rear end",
        "With a minus if it is lower.",
        0.010,
        0.010,
        signed=True,
    ),
    Dimension(
        "lower-arm",
        "Lower arm, pivot line to ball joint",
        "Square to the pivots, along the arm.",
        0.380,
        0.030,
    ),
    Dimension(
        "upper-arm", "Upper arm, shaft to ball joint", "Square to the shaft, along the arm.", 0.220, 0.020
    ),
    Dimension(
        "ball-inset",
        "Upper ball joint inboard of the lower",
        "Plumb lines, across the car.",
        0.040,
        0.015,
        signed=True,
    ),
    Dimension("stud-spacing", "Between the shaft's two studs", "Centre to centre.", 0.150, 0.025),
    Dimension(
        "pivot-spacing",
        "Between the upper arm's two pivots",
        "Middle to middle of the bushings.",
        0.205,
        0.025,
    ),
    Dimension(
        "lower-spacing",
        "Between the lower arm's two pivots",
        "Middle to middle of the bushings.",
        0.300,
        0.050,
    ),
    Dimension(
        "ball-ahead",
        "Upper ball joint ahead of the studs' middle",
        "Along the car, with a minus if it is behind.",
        0.000,
        0.020,
        signed=True,
    ),
    Dimension(
        "lower-ball-ahead",
        "Lower ball joint ahead of its pivots' middle",
        "Along the car, with a minus if it is behind.",
        0.000,
        0.030,
        signed=True,
    ),
    Dimension(
        "steering-arm",
        "Tie rod's outer end to lower ball joint, along the car",
        "Plumb lines on the floor.",
        0.145,
        0.015,
    ),
    Dimension(
        "steering-arm-in",
        "Tie rod's outer end inboard of the lower ball joint",
        "Across the car, with a minus if it is outboard.",
        0.030,
        0.015,
        signed=True,
    ),
    Dimension(
        "tie-outer-height", "Tie rod's outer end above the floor", "To the middle of the ball.", 0.195, 0.015
    ),
    Dimension(
        "tie-inner-height", "Tie rod's inner end above the floor", "To the middle of the ball.", 0.220, 0.020
    ),
    Dimension(
        "tie-inner-ahead",
        "Tie rod's inner end ahead of its outer end",
        "Along the car, with a minus if it is behind.",
        0.000,
        0.020,
        signed=True,
    ),
    Dimension("tie-rod", "Tie rod between stud centres", "As it was on the car.", 0.330, 0.030),
    Dimension(
        "spring-out",
        "Spring's seat from the lower pivot line",
        "Along the arm, to the seat's middle.",
        0.200,
        0.030,
    ),
    Dimension("spring-length", "Spring's length on its wheels", "Seat to seat.", 0.250, 0.030),
)

PLACES = (
    ("upper-front", "Upper arm's front pivot"),
    ("upper-rear", "Upper arm's rear pivot"),
    ("stud-front", "Shaft's front stud"),
    ("stud-rear", "Shaft's rear stud"),
    ("upper-ball", "Upper ball joint"),
    ("lower-front", "Lower arm's front pivot"),
    ("lower-rear", "Lower arm's rear pivot"),
    ("lower-ball", "Lower ball joint"),
    ("tie-inner", "Tie rod's inner end"),
    ("tie-outer", "Tie rod's outer end"),
    ("spring-lower", "Spring's lower seat"),
    ("spring-upper", "Spring's upper seat"),
    ("wheel-centre", "Wheel's centre"),
)
AXES = (
    ("ahead", "ahead of the wheel's centre line"),
    ("out", "from the car's centre line"),
    ("up", "above the floor"),
)
LONG = tuple(
    Dimension(f"{place}.{axis}", f"{name}, {words}", "", signed=axis == "ahead")
    for place, name in PLACES
    for axis, words in AXES
)
