"""A short run of `kill_run.py`."""

import random
from pathlib import Path

from tests.promise.conftest import Prepared
from tests.promise.kill_run import run
from tests.promise.starter import Starter


def test_killed_at_random_moments_all_that_was_acknowledged_is_there_once(
    data: Path, prepared: Prepared, starter: Starter
) -> None:
    seed = random.SystemRandom().randrange(2**32)

    outcome = run(data, prepared.garage, prepared.session, starter, kills=6, seed=seed)

    print(outcome)
    assert (outcome.wrong, outcome.strange) == ([], [])
    assert outcome.sent == outcome.acknowledged > 0
