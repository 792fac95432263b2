"""Does a test notice when a formula is wrong? Not part of the suite: it takes minutes.

    uv run python -m tests.compute.mutate torque wrench

Every mutant of a module runs through that module's own tests in a process of its own. Prints each survivor,
then the score; ends with 1 unless the survivors are just those that `equivalent.csv` explains.
"""

import ast
import contextlib
import csv
import gc
import io
import os
import resource
import sys
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec
from importlib.util import spec_from_loader
from math import ceil
from pathlib import Path
from types import CodeType, ModuleType

import hypothesis
import pytest
import scipy.integrate
import scipy.optimize  # noqa: F401 - loaded once, here, not in every process

import tests.reference.published  # noqa: F401 - the same
from tests.compute.mutation import mutants

ROOT = Path(__file__).parents[2]
FASTENER = ("torque", "wrench", "castle_nut", "preload", "grade", "thread", "turn", "cotter", "lock_nut")
SPRING = ("spring", "nested", "compressor", "ride_height")
REFERENCE = dict.fromkeys(FASTENER, "fastener") | dict.fromkeys(SPRING, "spring") | {"alignment": "alignment"}
LINKAGE = "tests/compute/test_linkage.py"
CASE_1 = "tests/reference/test_case_1.py"
ALSO = {
    "dimension": ("tests/compute/test_layout.py",),
    "drawer": ("tests/compute/test_shims.py",),
    "height": (LINKAGE,),
    "linkage": ("tests/compute/test_linkage_always.py", "tests/reference/test_shim.py", CASE_1),
    **dict.fromkeys(("adjust", "motion"), (CASE_1,)),
    **dict.fromkeys(("corner", "pose"), (CASE_1, LINKAGE)),
}
BARE = (
    *("-x", "-q", "--tb=no", "--noconftest", "-p", "no:cacheprovider", "-p", "_hypothesis_pytestplugin"),
    *("--hypothesis-profile=mutate", "-o", "addopts=--import-mode=importlib"),
    *("-W", "ignore::pytest.PytestAssertRewriteWarning"),  # what is loaded already, here, is not rewritten
)
LASTING = frozenset(sys.modules)  # loaded once and for all, unless the module in hand is among them
SLOWER = 3  # times the CPU of the unharmed module: then it counts as hanging


class Planted(MetaPathFinder, Loader):
    """Imports one module from a tree in hand."""

    def __init__(self, name: str, code: CodeType) -> None:
        self.name, self.code = name, code

    def find_spec(self, name: str, path: object, target: object = None) -> ModuleSpec | None:
        return spec_from_loader(name, self) if name == self.name else None

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code, module.__dict__)  # noqa: S102 - that is what planting means


class QuickestFirst:
    """Puts tests in the order of how long each took before: most wrongs fall to a quick one."""

    def __init__(self) -> None:
        self.took_s: Counter[str] = Counter()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.took_s[report.nodeid] += report.duration

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items.sort(key=lambda item: self.took_s[item.nodeid])


@dataclass(frozen=True)
class Trial:
    """What the module's tests said of it, and how long they worked."""

    passed: bool
    took_s: float  # of CPU


def trial(module: str, tree: ast.Module, limit_s: int, order: QuickestFirst) -> Trial:
    """Runs the module's tests with this in its place; too much CPU is a failure."""
    code = compile(tree, f"<{module}>", "exec")
    child = os.fork()
    if child == 0:
        status = 1
        try:
            resource.setrlimit(resource.RLIMIT_CPU, (limit_s, limit_s))
            status = _run(f"server.compute.{module}", code, tests_of(module), order)
        finally:
            os._exit(status)
    _, status, usage = os.wait4(child, 0)
    return Trial(status == 0, usage.ru_utime + usage.ru_stime)


def _run(name: str, code: CodeType, tests: Sequence[str], order: QuickestFirst) -> int:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    _forget([one for one in sys.modules if one not in LASTING or name in LASTING])
    sys.meta_path.insert(0, Planted(name, code))
    return int(pytest.main([*BARE, *tests], plugins=[order]))


def _forget(modules: Sequence[str]) -> None:
    """Lets ours be imported anew; what others wrote stays loaded."""
    for name in modules:
        package, _, own = name.rpartition(".")
        if name.split(".")[0] in ("server", "tests") and package:
            del sys.modules[name]
            if hasattr(sys.modules.get(package), own):
                delattr(sys.modules[package], own)


def _warm_up(module: str) -> QuickestFirst:
    """Runs its tests here once, so that all they load from outside is loaded for every mutant."""
    order = QuickestFirst()
    with contextlib.redirect_stdout(io.StringIO()):
        pytest.main([*BARE, *tests_of(module)], plugins=[order])
    gc.freeze()
    return order


def tests_of(module: str) -> list[str]:
    """Its own tests, then the published figures."""
    found = [f"tests/compute/test_{module}.py", *ALSO.get(module, ())]
    if module in REFERENCE:
        found.append(f"tests/reference/test_{REFERENCE[module]}.py")
    return [path for path in found if (ROOT / path).exists()]


def equivalents(module: str) -> Counter[tuple[str, str]]:
    """The mutants that are no wrongs: line and change, and how many of them there are."""
    with Path(__file__).with_name("equivalent.csv").open(newline="") as lines:
        return Counter(
            (row["line"], row["change"]) for row in csv.DictReader(lines) if row["module"] == module
        )


def mutate(module: str) -> bool:
    """Runs all mutants of a module; whether the survivors are just those that are explained."""
    source = (ROOT / "server/compute" / f"{module}.py").read_text()
    order = _warm_up(module)
    started = time.monotonic()
    unharmed = trial(module, ast.parse(source), 300, order)
    if not unharmed.passed:
        raise SystemExit(f"{module}: its tests fail as it is.")
    limit_s = SLOWER * ceil(unharmed.took_s)
    known, made = equivalents(module), list(mutants(source))
    alive = [one for one in made if trial(module, one.tree, limit_s, order).passed]
    survived = Counter((one.text, one.wrong) for one in alive)
    unexplained, stale = survived - known, known - survived
    for text, wrong in unexplained.elements():
        print(f"{module} survived: {text}: {wrong}")
    for text, wrong in stale.elements():
        print(f"{module} has no such survivor: {text}: {wrong}")
    print(
        f"{module}: {len(made) - len(alive)} of {len(made)} killed, "
        f"{(survived & known).total()} equivalent, "
        f"{unexplained.total()} survived, {time.monotonic() - started:.0f} s",
        flush=True,
    )
    return not unexplained and not stale


if __name__ == "__main__":
    os.chdir(ROOT)
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    hypothesis.settings.register_profile(
        "mutate",
        database=None,
        derandomize=True,
        deadline=None,
        phases=(hypothesis.Phase.explicit, hypothesis.Phase.generate),
    )
    sound = [mutate(module) for module in sys.argv[1:]]
    raise SystemExit(0 if all(sound) else 1)
