"""What some tests need from the machine. Where it is promised, doing without is a failure and no skip."""

import os
import shutil
import subprocess

import pytest

NAMES = {"chromium": ("chromium", "chromium-browser"), "strace": ("strace",)}
PROMISED = "CORNERBOOK_TESTS_NEED"  # a comma list, set by .ci/run


def need(tool: str) -> str:
    """The path of a tool. Without it a test is skipped with a plain reason, or fails where it is promised."""
    found = next((path for name in NAMES[tool] if (path := shutil.which(name))), None)
    return found or _do_without(tool, f"there is no {tool} on this machine")


def need_strace() -> str:
    """As `need`, and that this process may watch others: some containers forbid it."""
    strace = need("strace")
    if subprocess.run([strace, "true"], capture_output=True).returncode:
        _do_without("strace", "strace is not allowed to watch other processes here")
    return strace


def _do_without(tool: str, why: str) -> str:
    if tool in os.environ.get(PROMISED, "").split(","):
        pytest.fail(f"{why}, and {PROMISED} says that it is")
    pytest.skip(why)
