"""Captures sent over a link that cuts 30 % of its connections: each is recorded once, none ends in an error.

uv run python -m tests.promise.bad_link [captures] [seed]
"""

import random
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.promise.garage import Garage, Session, prepare, sign_in
from tests.promise.proxy import Proxy
from tests.promise.record import Findings, look
from tests.promise.sender import KINDS, Sender
from tests.promise.starter import Server, Starter

SHARE = 0.3


@dataclass(frozen=True, slots=True)
class Outcome:
    captures: int
    tries: int
    cut: int
    found: Findings

    def __str__(self) -> str:
        return (
            f"{self.captures} captures in {self.tries} tries, {self.cut} connections cut; "
            f"wrong: {self.found if self.found else 'nothing'}"
        )


def send_all(
    server: Server, garage: Garage, session: Session, data: Path, *, captures: int, seed: int
) -> Outcome:
    """Send so many captures, each until it is acknowledged."""
    draw = random.Random(seed)
    with Proxy(server.address, random.Random(f"link {seed}"), SHARE) as proxy:
        sender = Sender(garage, session, "", data, number=9)
        sender.go_through(proxy)
        sent, tries = [], 0
        for _ in range(captures):
            sent.append(sender.make(draw.choice(KINDS)))
            tries += sender.insist(sent[-1])
        sender.client.close()
    found = look(data, sent=sent, acknowledged=[one.client_id for one in sent])
    return Outcome(captures, tries, proxy.cut, found)


def main(captures: int = 500, seed: int | None = None) -> int:
    seed = random.SystemRandom().randrange(2**32) if seed is None else seed
    print(f"{captures} captures, seed {seed}", flush=True)
    with TemporaryDirectory() as folder, Starter() as starter:
        data = Path(folder) / "data"
        garage = prepare(data)
        server = starter.start(data)
        session = sign_in(server)
        began = time.monotonic()
        outcome = send_all(server, garage, session, data, captures=captures, seed=seed)
        print(outcome, f"({time.monotonic() - began:.0f} s)")
    return int(bool(outcome.found))


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:3])))
