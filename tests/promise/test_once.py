"""A capture sent again and again is recorded once, whatever became of the answers."""

import random
import shutil
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.promise.bad_link import send_all
from tests.promise.conftest import Prepared
from tests.promise.proxy import Proxy
from tests.promise.record import Findings, look
from tests.promise.sender import KINDS, Sender, Sending
from tests.promise.starter import Forked, Starter

AT_ONCE = 20


@dataclass
class Running:
    """One server for all tests here, and the phone that posts to it."""

    server: Forked
    data: Path
    sender: Sender

    def look(self, sending: Sending) -> Findings:
        return look(self.data, sent=[sending], acknowledged=[sending.client_id])


@pytest.fixture(scope="module")
def running(
    starter: Starter, prepared: Prepared, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Running]:
    data = shutil.copytree(prepared.data, tmp_path_factory.mktemp("once") / "data")
    server = starter.start(data)
    sender = Sender(prepared.garage, prepared.session, server.address, data)
    yield Running(server, data, sender)
    sender.client.close()
    server.kill()


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("times", [2, 10])
def test_sent_one_after_the_other_it_is_recorded_once(kind: str, times: int, running: Running) -> None:
    sending = running.sender.make(kind)

    answers = [running.sender.post(sending) for _ in range(times)]

    step = "/".join(sending.path.split("/")[:3])
    assert {(one.status_code, one.headers["location"]) for one in answers} == {(303, step)}
    assert running.look(sending) == Findings()


@pytest.mark.parametrize("kind", KINDS)
def test_sent_twenty_times_at_once_it_is_recorded_once(kind: str, running: Running) -> None:
    sending = running.sender.make(kind)

    with ThreadPoolExecutor(AT_ONCE) as pool:
        statuses = Counter(
            answer.status_code for answer in pool.map(running.sender.post, [sending] * AT_ONCE)
        )

    assert set(statuses) <= {303, 503}  # 503: others were in the way, send it again
    assert statuses[303] > 0
    assert running.look(sending) == Findings()


@pytest.mark.parametrize("kind", KINDS)
def test_sent_again_after_the_answer_was_swallowed_it_is_recorded_once(
    kind: str, running: Running, prepared: Prepared
) -> None:
    sending = running.sender.make(kind)
    through = Sender(prepared.garage, prepared.session, "", running.data)
    with Proxy(running.server.address, random.Random(1), share=1, swallow_only=True) as proxy:
        through.go_through(proxy)
        with pytest.raises(Exception, match=r"disconnected|reset|closed"):
            through.post(sending)
    through.client.close()

    assert running.sender.insist(sending) == 1
    assert running.look(sending) == Findings()


@pytest.mark.parametrize("kind", KINDS)
def test_another_capture_under_the_same_id_is_refused_and_changes_nothing(
    kind: str, running: Running
) -> None:
    sending = running.sender.make(kind)
    running.sender.insist(sending)
    other = running.sender.other(sending)

    answer = running.sender.post(other)

    assert answer.status_code == 409
    assert "Something else was already recorded" in answer.text
    assert running.look(sending) == Findings()
    assert look(running.data, sent=[other], acknowledged=[sending.client_id]).lost == [sending.client_id]


def test_sent_again_after_a_restart_each_is_recorded_once(
    data: Path, starter: Starter, prepared: Prepared
) -> None:
    server = starter.start(data)
    sender = Sender(prepared.garage, prepared.session, server.address, data)
    sent = [sender.make(kind) for kind in KINDS]
    for one in sent:
        sender.insist(one)
    server.kill()
    server = starter.start(data)
    sender.go_to(server.address)

    for one in sent:
        assert sender.insist(one) == 1
    sender.client.close()
    server.kill()

    assert look(data, sent=sent, acknowledged=[one.client_id for one in sent]) == Findings()


def test_over_a_link_that_cuts_every_third_connection_each_is_recorded_once(
    running: Running, prepared: Prepared
) -> None:
    seed = random.SystemRandom().randrange(2**32)
    print(f"seed {seed}")
    outcome = send_all(
        running.server, prepared.garage, prepared.session, running.data, captures=24, seed=seed
    )

    print(outcome)
    assert outcome.found == Findings()
    assert outcome.tries > outcome.captures
