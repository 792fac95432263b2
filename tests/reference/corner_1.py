"""One invented corner and its tables, as someone else's solver worked them out: `corner_1.json` says how."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from server.compute.corner import POINTS, Corner
from server.compute.linkage import at_arm
from server.compute.pose import Pose
from server.compute.vector import Floats

SOLVED: dict[str, Any] = json.loads(Path(__file__).with_suffix(".json").read_text())
MM = 1e-3
CLOSE_deg, CLOSE_mm = 2e-6, 2e-6
NOT_MOVED = {"spin": [0.0, 1.0, 0.0], "loaded_radius": 320.0}  # of the limiting cases, which do without


def table(solved: Mapping[str, Any]) -> dict[str, Floats]:
    """The columns of a table by their names, each (n,), as printed: mm and degrees."""
    return dict(zip(solved["columns"], np.array(solved["rows"], dtype=float).T, strict=True))


def points(columns: Mapping[str, Floats], name: str) -> Floats:
    """The three columns of a point [mm], (3, n)."""
    return np.stack([columns[f"{name}_{axis}"] for axis in "xyz"])


def corner(printed: Mapping[str, Any]) -> Corner:
    """The corner of hard points as printed."""
    all_of_them = {**NOT_MOVED, **printed}
    metres = {name: np.array(all_of_them[name]) * (1.0 if name == "spin" else MM) for name in POINTS}
    return Corner(**metres, loaded_radius=np.array(all_of_them["loaded_radius"] * MM))


CORNER_1 = corner(SOLVED["corner"])
LEVEL = corner(SOLVED["limits"]["equal_shims_level"]["corner"])  # both arms and the steering axis square


def same(ours: Floats, printed: Any, within: float) -> None:
    """Fails where a figure is further off than that."""
    np.testing.assert_allclose(ours, printed, rtol=0, atol=within)


def angles(pose: Pose) -> Floats:
    """Camber, caster, toe along the first axis [deg]."""
    return np.rad2deg(pose.readings.stacked)


def changes(pose: Pose) -> Floats:
    """From how the corner stood."""
    stood = angles(at_arm(pose.corner))
    return angles(pose) - stood.reshape(3, *(1,) * pose.arm_rad.ndim)


def wanted(columns: Mapping[str, Floats]) -> Floats:
    """The same three as printed."""
    return np.stack([columns["camber"], columns["caster"], columns["toe"]])
