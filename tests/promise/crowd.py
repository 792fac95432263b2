"""Several phones that post captures all the time, each going on with the one it has not heard back about."""

import random
import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

import httpx

from tests.promise.sender import KINDS, Sender, Sending


@dataclass
class Phone:
    """What one of them has sent, and when it heard of which."""

    sender: Sender
    draw: random.Random
    sent: list[Sending] = field(default_factory=list)
    heard_at: dict[str, float] = field(default_factory=dict)  # client id -> monotonic time [s]
    strange_at: dict[str, float] = field(default_factory=dict)  # answers that no phone should get

    def post(self) -> None:
        """Send the capture that is not acknowledged yet, or the next one."""
        if not self.sent or self.sent[-1].client_id in self.heard_at:
            try:
                self.sent.append(self.sender.make(self.draw.choice(KINDS)))
            except sqlite3.Error:  # the disk with the record on it has gone
                return
        one = self.sent[-1]
        try:
            answer = self.sender.post(one)
        except httpx.TransportError:
            return
        if answer.status_code == 303:
            self.heard_at[one.client_id] = time.monotonic()
        elif answer.status_code != 503:  # busy: the phone tries again
            self.strange_at[f"{answer.status_code} to {one}"] = time.monotonic()


@dataclass
class Crowd:
    phones: list[Phone]

    @contextmanager
    def posting(self) -> Iterator[None]:
        """All of them post until the block ends."""
        over = threading.Event()

        def go_on(phone: Phone) -> None:
            while not over.is_set():
                phone.post()

        threads = [threading.Thread(target=go_on, args=(phone,)) for phone in self.phones]
        for thread in threads:
            thread.start()
        try:
            yield
        finally:
            over.set()
            for thread in threads:
                thread.join()

    def wait_for(self, more: int, *, longest_s: float) -> None:
        """Until so many more have been acknowledged to all of them together."""
        before, began = self._count(), time.monotonic()
        while self._count() - before < more and time.monotonic() - began < longest_s:
            time.sleep(0.002)

    def _count(self) -> int:
        return sum(len(phone.heard_at) for phone in self.phones)

    def go_to(self, address: str) -> None:
        for phone in self.phones:
            phone.sender.go_to(address)

    def finish(self) -> None:
        """Each sends once more what it has not heard back about."""
        for phone in self.phones:
            if phone.sent and phone.sent[-1].client_id not in phone.heard_at:
                phone.post()

    @property
    def sent(self) -> list[Sending]:
        return [one for phone in self.phones for one in phone.sent]

    def heard(self, *, before: float = float("inf")) -> list[str]:
        """The client ids of what was acknowledged before that moment of the monotonic clock."""
        return [one for phone in self.phones for one, at in phone.heard_at.items() if at < before]

    def strange(self, *, before: float = float("inf")) -> list[str]:
        """The answers that no phone should have got before that moment."""
        return [one for phone in self.phones for one, at in phone.strange_at.items() if at < before]

    def forget(self, client_ids: list[str]) -> None:
        """What came after a cut was heard by nobody: it is sent again."""
        for phone in self.phones:
            phone.strange_at.clear()
            for one in client_ids:
                phone.heard_at.pop(one, None)


def gather(new_sender: Callable[[int], Sender], count: int, seed: int) -> Crowd:
    return Crowd([Phone(new_sender(number), random.Random(f"{seed} {number}")) for number in range(count)])
