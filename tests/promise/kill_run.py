"""Kill -9 at random moments while phones post captures: everything acknowledged is there afterwards.

uv run python -m tests.promise.kill_run [kills] [seed]
"""

import random
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.promise.crowd import gather
from tests.promise.garage import Garage, Session, prepare, sign_in
from tests.promise.record import Findings, look
from tests.promise.sender import Sender
from tests.promise.starter import Starter

PHONES = 4
MOST, LONGEST_s = 24, 0.1  # a kill comes after so many acknowledged captures, and so much later


@dataclass(frozen=True, slots=True)
class Outcome:
    kills: int
    sent: int
    acknowledged: int
    cut_off: int  # sent, and not heard back about before the kill
    wrong: list[Findings]
    strange: list[str]
    slowest_start_s: float

    def __str__(self) -> str:
        return (
            f"{self.kills} kills: {self.sent} captures sent, {self.acknowledged} acknowledged, "
            f"{self.cut_off} cut off; slowest start {self.slowest_start_s:.2f} s; "
            f"wrong: {self.wrong or 'nothing'}; unexpected answers: {self.strange or 'none'}"
        )


def run(data: Path, garage: Garage, session: Session, starter: Starter, *, kills: int, seed: int) -> Outcome:
    """Kill the server so many times, look after each, and let the phones finish at the end."""
    print(f"{kills} kills, seed {seed}")
    draw, wrong, starts_s, cut_off = random.Random(seed), [], [], 0
    crowd = gather(lambda number: Sender(garage, session, "http://127.0.0.1", data, number), PHONES, seed)
    for number in range(kills + 1):
        began = time.monotonic()
        server = starter.start(data)
        crowd.go_to(server.address)
        starts_s.append(time.monotonic() - began)
        if found := look(data, sent=crowd.sent, acknowledged=crowd.heard()):
            wrong.append(found)
        if number == kills:
            break
        with crowd.posting():
            crowd.wait_for(draw.randint(0, MOST), longest_s=30)
            time.sleep(draw.uniform(0, LONGEST_s))
            server.kill()
        cut_off += len(crowd.sent) - len(crowd.heard())
    crowd.finish()
    server.kill()
    if found := look(data, sent=crowd.sent, acknowledged=crowd.heard()):
        wrong.append(found)
    for phone in crowd.phones:
        phone.sender.client.close()
    sent, heard = len(crowd.sent), len(crowd.heard())
    return Outcome(kills, sent, heard, cut_off, wrong, crowd.strange(), max(starts_s))


def main(kills: int = 50, seed: int | None = None) -> int:
    began = time.monotonic()
    with TemporaryDirectory() as folder, Starter() as starter:
        data = Path(folder) / "data"
        garage = prepare(data)
        server = starter.start(data)
        session = sign_in(server)
        server.kill()
        seed = random.SystemRandom().randrange(2**32) if seed is None else seed
        outcome = run(data, garage, session, starter, kills=kills, seed=seed)
    print(outcome, f"({time.monotonic() - began:.0f} s)")
    return 1 if outcome.wrong or outcome.strange or outcome.sent != outcome.acknowledged else 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:3])))
