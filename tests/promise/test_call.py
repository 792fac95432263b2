"""Killed at system calls: a short run of `kill_at_call.py`, at every few calls from a random one on."""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.need import need_strace
from tests.promise.conftest import Prepared
from tests.promise.kill_at_call import CONTENT, Worker, kill_at
from tests.promise.record import Findings

CALLS = range(1, 60)


@pytest.fixture(scope="module")
def worker() -> Iterator[Worker]:
    with Worker(need_strace()) as worker:
        yield worker


@pytest.mark.parametrize("kind", CONTENT)
def test_killed_at_a_call_a_capture_is_there_whole_or_not_at_all(
    kind: str, worker: Worker, prepared: Prepared, tmp_path: Path
) -> None:
    seed = random.SystemRandom().randrange(2**32)
    print(f"seed {seed}")

    for call in sorted(random.Random(seed).sample(CALLS, 6)):
        killed = kill_at(worker, prepared.data, tmp_path, kind, call)
        assert (killed.found, killed.found_after_retry) == (Findings(), Findings()), killed


def test_control_the_first_call_kills_and_the_thousandth_does_not(
    worker: Worker, prepared: Prepared, tmp_path: Path
) -> None:
    assert not kill_at(worker, prepared.data, tmp_path, "measurement", 1).is_over
    assert kill_at(worker, prepared.data, tmp_path, "measurement", 1000).is_over
