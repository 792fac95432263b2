"""Corrections never erase: whatever is done at a step, the set of (row, its content) only grows.

uv run python -m tests.promise.only_grow [examples] [steps] [seed]
"""

import random
import shutil
import sys
import time
from contextlib import ExitStack
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory

import sqlalchemy as sa
from hypothesis import HealthCheck, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from server.app import create_app
from server.procedure.model import FrontEnd
from server.settings import Settings
from server.store.engine import Store
from server.store.tables import APPEND_ONLY
from tests.promise.garage import CHEAP_PINS, Garage, Session, library, prepare, sign_in
from tests.promise.phone import phone_of
from tests.promise.sender import ASKED, NUTS, picture
from tests.promise.starter import Starter

TEXTS = st.sampled_from(
    ["12 5/8", "320.7 mm", "321,2 mm", "70 lbf·ft", "", "same", "NaN", "999", "wrong edge"]
)
CAPTURES, RECORDS = st.integers(20, 45), st.integers(1, 8)


class Corrections(RuleBasedStateMachine):
    """A phone that captures and corrects at random, with much that is refused."""

    prepared: Path
    garage: Garage
    session: Session
    library: dict[str, FrontEnd]
    recorded = 0  # by all machines together

    def __init__(self) -> None:
        super().__init__()
        self.closing = ExitStack()
        data = Path(self.closing.enter_context(TemporaryDirectory())) / "data"
        shutil.copytree(self.prepared, data)
        self.store = self.closing.enter_context(Store(data))
        app = create_app(Settings(data=data, **CHEAP_PINS), self.store, library=self.library)
        self.phone = phone_of(app, self.session)
        self.before = snapshot(self.store)

    def post(self, path: str, *, up: bool = False, files: object = None, **form: str) -> None:
        step = self.garage.up_steps[0] if up else self.garage.down_step
        answer = self.phone.fill_in(f"/steps/{step}/{path}", files=files, **form)
        assert answer.status_code in (303, 404, 409, 422), answer.text
        type(self).recorded += answer.status_code == 303

    @rule(text=TEXTS)
    def measure(self, text: str) -> None:
        self.post("measurements", text=text, **ASKED)

    @rule(text=TEXTS, of=CAPTURES, reason=TEXTS)
    def correct_a_measurement(self, text: str, of: int, reason: str) -> None:
        self.post("measurements", text=text, supersedes=str(of), reason=reason, **ASKED)

    @rule(text=TEXTS, of=CAPTURES, reason=TEXTS)
    def give_up(self, text: str, of: int, reason: str) -> None:
        self.post("gaps", text=text, supersedes=str(of), reason=reason, **ASKED)

    @rule(text=TEXTS)
    def note(self, text: str) -> None:
        self.post("notes", text=text)

    @rule(text=TEXTS, of=CAPTURES, reason=TEXTS)
    def correct_a_note(self, text: str, of: int, reason: str) -> None:
        self.post("notes", text=text, supersedes=str(of), reason=reason)

    @rule(number=st.integers(0, 3))
    def photograph(self, number: int) -> None:
        files = {"photo": ("a.jpg", picture(number))}
        self.post("photos", files=files, key="tie-rod.photo", place="LF")

    @rule(text=TEXTS, on=CAPTURES)
    def mark(self, text: str, on: int) -> None:
        self.post("marks", photo=str(on), text=text, **{"tap.x": "20", "tap.y": "20"})

    @rule(text=TEXTS, nut=st.sampled_from(NUTS))
    def pull(self, text: str, nut: str) -> None:
        self.post("torques", up=True, fastener=nut, text=text, paint="yes")

    @rule(text=TEXTS, of=RECORDS, reason=TEXTS)
    def correct_a_torque(self, text: str, of: int, reason: str) -> None:
        self.post(f"torques/{of}/correction", up=True, text=text, reason=reason, confirmed="yes")

    @invariant()
    def nothing_is_gone_or_changed(self) -> None:
        now = snapshot(self.store)
        assert self.before <= now, f"gone or changed: {self.before - now}"
        self.before = now

    def teardown(self) -> None:
        self.closing.close()


def snapshot(store: Store) -> set[tuple[str, str, str]]:
    """Table, key and digest of every row in which nothing may ever change."""
    with store.reading() as db:
        return {
            (table, str(row[0]), sha256(repr(tuple(row)).encode()).hexdigest())
            for table in APPEND_ONLY
            for row in db.execute(sa.text(f"SELECT * FROM {table}"))  # noqa: S608
        }


def run(machine: type[Corrections], *, examples: int, steps: int, start_from: int) -> None:
    print(f"{examples} x {steps}, seed {start_from}", flush=True)
    run_state_machine_as_test(
        seed(start_from)(machine),
        settings=settings(
            max_examples=examples,
            stateful_step_count=steps,
            deadline=None,
            database=None,
            suppress_health_check=list(HealthCheck),
        ),
    )


def machine_on(prepared: Path, garage: Garage, session: Session) -> type[Corrections]:
    """The machine on copies of that shop."""
    on = {"prepared": prepared, "garage": garage, "session": session, "library": library()}
    return type("Here", (Corrections,), on)


def main(examples: int = 200, steps: int = 40, start_from: int | None = None) -> None:
    start_from = random.SystemRandom().randrange(2**32) if start_from is None else start_from
    with TemporaryDirectory() as folder, Starter() as starter:
        data = Path(folder) / "data"
        garage = prepare(data)
        server = starter.start(data)
        session = sign_in(server)
        server.kill()
        began, machine = time.monotonic(), machine_on(data, garage, session)
        run(machine, examples=examples, steps=steps, start_from=start_from)
    print(f"{machine.recorded} recorded, nothing gone or changed ({time.monotonic() - began:.0f} s)")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:4]))
