"""Vectors whose three components lie along the first axis: shape (3, *shape), so that a point can be many."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

NO_ROOM = float("nan")  # where no such point exists


def point(x: float, y: float, z: float) -> Floats:
    """One point, shape (3,)."""
    return np.array((x, y, z), dtype=np.float64)


def widen(vector: Floats, shape: tuple[int, ...]) -> Floats:
    """The same vector, ready to go with arrays of that shape: (3,) becomes (3, 1, ...)."""
    room = (1,) * (len(shape) + 1 - vector.ndim)
    return vector.reshape((3, *room, *vector.shape[1:]))


def dot(a: Floats, b: Floats) -> Floats:
    """Inner product, shape (*shape)."""
    product: Floats = a[0] * b[0]
    product += a[1] * b[1]  # in place: fresh arrays cost more than the sums
    product += a[2] * b[2]
    return product


def cross(a: Floats, b: Floats) -> Floats:
    """Outer product, shape (3, *shape)."""
    product = np.empty((3, *np.broadcast_shapes(a.shape[1:], b.shape[1:])))
    for at, (one, other) in enumerate(((1, 2), (2, 0), (0, 1))):
        np.multiply(a[one], b[other], out=product[at, ...])
        product[at] -= a[other] * b[one]
    return product


def length(a: Floats) -> Floats:
    """Shape (*shape)."""
    norm: Floats = np.sqrt(dot(a, a))
    return norm


def unit(a: Floats) -> Floats:
    """The direction of a, shape (3, *shape)."""
    direction: Floats = a / length(a)
    return direction


def turned(a: Floats, axis: Floats, angle: Floats) -> Floats:
    """Turned about a unit axis by the right-hand rule [rad]. Source: Rodrigues' rotation formula."""
    cosine, sine = np.cos(angle), np.sin(angle)
    there: Floats = a * cosine + cross(axis, a) * sine + axis * (dot(axis, a) * (1 - cosine))
    return there


@dataclass(frozen=True, slots=True)
class Axes:
    """Three axes fixed in a rigid body, each of length 1 and square to the others."""

    along: Floats
    toward: Floats
    normal: Floats

    @classmethod
    def of(cls, along: Floats, beside: Floats) -> "Axes":
        """By two directions of the body: the first is kept, the second says which way the others turn."""
        first, normal = unit(along), unit(cross(along, beside))
        return cls(first, cross(normal, first), normal)

    def carried(self, vector: Floats, to: "Axes") -> Floats:
        """A vector of the body as it stood, as it stands."""
        return (
            to.along * dot(self.along, vector)
            + to.toward * dot(self.toward, vector)
            + to.normal * dot(self.normal, vector)
        )


def three_spheres(centres: tuple[Floats, Floats, Floats], radii: tuple[Floats, ...], side: Floats) -> Floats:
    """The point at these three distances from three centres.

    side       + or -: on which side of the centres' plane, as `which_side` tells it
    returns    shape (3, *shape); nan where the spheres do not meet
    source     trilateration, elementary geometry
    """
    first, _, third = centres
    r1, r2, r3 = radii
    along, across, up, reach = _frame(centres)
    i, j = dot(along, third - first), dot(across, third - first)
    x = (r1 * r1 - r2 * r2 + reach * reach) / (2 * reach)
    y = (r1 * r1 - r3 * r3 + i * i + j * j - 2 * i * x) / (2 * j)
    height_squared = r1 * r1 - x * x - y * y
    z = np.sqrt(np.where(height_squared >= 0, height_squared, NO_ROOM))
    return first + x * along + y * across + side * z * up


def which_side(centres: tuple[Floats, Floats, Floats], of: Floats) -> Floats:
    """On which side of the centres' plane a point is: 1, -1, or 0 in it."""
    _, _, up, _ = _frame(centres)
    return np.sign(dot(of - centres[0], up))


def _frame(centres: tuple[Floats, Floats, Floats]) -> tuple[Floats, Floats, Floats, Floats]:
    """Along the first two centres, across to the third, out of their plane; and the first two's distance."""
    first, second, third = centres
    span = second - first
    reach = length(span)
    along = span / reach
    to_third = third - first
    across = unit(to_third - dot(along, to_third) * along)
    return along, across, cross(along, across), reach
