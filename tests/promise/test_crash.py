"""The server dies at each named point, while each kind of capture passes it. Nothing acknowledged is lost."""

import signal
from collections.abc import Callable
from pathlib import Path

import httpx
import pytest

from server.store.crash import CRASH_POINTS
from tests.promise.record import Findings, look
from tests.promise.sender import KINDS, Sender, Sending
from tests.promise.starter import Command, Forked, Starter

NewSender = Callable[..., Sender]


def die(server: Forked, sender: Sender, sending: Sending, **headers: str) -> bool:
    """Whether the capture was acknowledged, although the server died of it."""
    try:
        heard = sender.post(sending, **headers).status_code == 303
    except httpx.TransportError:
        heard = False
    assert server.wait() == signal.SIGKILL
    return heard


@pytest.mark.parametrize("point", CRASH_POINTS)
def test_killed_at_a_point_nothing_acknowledged_is_lost_and_a_second_sending_is_recorded_once(
    point: str, data: Path, starter: Starter, new_sender: NewSender
) -> None:
    server = starter.start(data)
    sender = new_sender(server.address)
    sent: list[Sending] = []
    heard: list[str] = []
    for kind in KINDS if not point.startswith("photo:") else ("photo",):
        sent.append(sender.make(kind))
        if die(server, sender, sent[-1], crash_at=point):
            heard.append(sent[-1].client_id)

        server = starter.start(data)
        sender.go_to(server.address)
        assert look(data, sent=sent, acknowledged=heard) == Findings()
        assert sender.post(sent[-1]).status_code == 303
        heard.append(sent[-1].client_id)
    server.kill()

    assert look(data, sent=sent, acknowledged=heard) == Findings()


def test_killed_before_the_commit_nothing_of_it_is_there(
    data: Path, starter: Starter, new_sender: NewSender
) -> None:
    server = starter.start(data)
    sender = new_sender(server.address)
    sending = sender.make("note")

    assert not die(server, sender, sending, crash_at="store: before commit")

    assert look(data, sent=[sending], acknowledged=[sending.client_id]).lost == [sending.client_id]


def test_control_an_answer_before_the_commit_is_found_out(
    data: Path, starter: Starter, new_sender: NewSender
) -> None:
    server = starter.start(data)
    sender = new_sender(server.address)
    sending = sender.make("note")

    assert die(server, sender, sending, crash_at="store: before commit", answer_first="yes")

    assert look(data, sent=[sending], acknowledged=[sending.client_id]).lost == [sending.client_id]


def test_control_a_second_sending_under_another_id_is_found_out(
    data: Path, starter: Starter, new_sender: NewSender
) -> None:
    server = starter.start(data)
    sender = new_sender(server.address)
    first = sender.make("note")
    again = Sending(first.kind, first.path, first.form, first.content)
    for sending in (first, again):
        assert sender.post(sending).status_code == 303
    server.kill()

    assert look(data, sent=[first], acknowledged=[first.client_id]).twice == [first.client_id]


def test_control_a_torn_photo_is_found_out(data: Path, starter: Starter, new_sender: NewSender) -> None:
    server = starter.start(data)
    sender = new_sender(server.address)
    sending = sender.make("photo")
    sender.post(sending)
    server.kill()
    received = data / "photos" / sending.content[:2] / sending.content / "received"
    received.write_bytes(received.read_bytes()[:-1])

    assert look(data, sent=[sending], acknowledged=[sending.client_id]).torn == [sending.content]


def test_the_command_killed_and_started_again_has_all_it_acknowledged(
    data: Path, new_sender: NewSender
) -> None:
    server = Command(data)
    sender = new_sender(server.address)
    sent = [sender.make(kind) for kind in KINDS]
    heard = [one.client_id for one in sent if sender.post(one).status_code == 303]
    server.kill()

    server = Command(data)
    sender.go_to(server.address)
    note = sent[KINDS.index("note")]
    page = sender.client.get(note.path.rpartition("/")[0])
    server.kill()
    assert len(heard) == len(KINDS)
    assert note.content in page.text
    assert look(data, sent=sent, acknowledged=heard) == Findings()
