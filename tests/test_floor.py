"""Versions below which there are known holes."""

from importlib.metadata import version

import pytest
from packaging.version import Version

# Starlette: Host poisons `request.url.path`, quadratic Range. python-multipart: header and boundary holes.
# Pillow: an allow-list of formats that is not kept to.
FLOORS = {"starlette": "1.3.1", "python-multipart": "0.0.33", "pillow": "12.3.0"}


@pytest.mark.parametrize(("package", "floor"), FLOORS.items())
def test_nothing_with_a_known_hole_is_installed(package, floor):
    assert Version(version(package)) >= Version(floor)
