"""The command as one starts it: each thing in its way is one sentence and exit code 2."""

import json
import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from server.__main__ import main
from server.network import listen
from server.store.engine import Store

PATIENCE_s = 60  # for a machine that has other things to do


class Running:
    """The command in a process of its own, once it has said where it is."""

    def __init__(self, *arguments: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "server", *arguments],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=os.environ | {"PYTHONIOENCODING": "utf-8"},
        )
        assert self.process.stdout is not None
        self.said = ""
        while "Ctrl-C stops it." not in self.said:
            line = self.process.stdout.readline()
            assert line, self.process.communicate()
            self.said += line
        self.address = re.search(r"On this machine: +(\S+)", self.said)[1]  # type: ignore[index]

    def stop(self, number: signal.Signals) -> tuple[int, str]:
        self.process.send_signal(number)
        _, errors = self.process.communicate(timeout=PATIENCE_s)
        return self.process.returncode, errors


@pytest.fixture
def start() -> Iterator[Callable[..., Running]]:
    started: list[Running] = []

    def begin(*arguments: str) -> Running:
        started.append(Running(*arguments))
        return started[-1]

    yield begin
    for one in started:
        one.process.kill()
        one.process.communicate()


def refused(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    """What was said when it would not start."""
    assert main([str(argument) for argument in arguments]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("cornerbook: ")
    assert said.err.count("\n") == 1
    return said.err


def test_help_explains_and_comes_at_once() -> None:
    began = time.process_time()
    helped = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "server", "--help"],
        capture_output=True,
        text=True,
        check=True,
    )

    assert "serve" in helped.stdout
    assert "demo" in helped.stdout
    assert "CORNERBOOK_PORT" in helped.stdout
    assert not re.search(r"\| +(fastapi|sqlalchemy|numpy|uvicorn)$", helped.stderr, re.MULTILINE)
    assert time.process_time() - began < 1


@pytest.mark.parametrize("arguments", [[], ["open"], ["serve", "--port", "70000"], ["serve", "--port", "x"]])
def test_what_makes_no_sense_is_refused_with_the_usage(
    capsys: pytest.CaptureFixture[str], arguments: list[str]
) -> None:
    with pytest.raises(SystemExit) as left:
        main(arguments)

    assert left.value.code == 2
    assert "usage: cornerbook" in capsys.readouterr().err


def test_a_busy_port_is_said_before_anything_is_touched(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    with listen("127.0.0.1", 0) as taken:
        port = taken.getsockname()[1]
        said = refused(capsys, "serve", "--data", tmp_path / "new", "--host", "127.0.0.1", "--port", port)

    assert f"Port {port} is in use" in said
    assert not (tmp_path / "new").exists()


def test_a_folder_that_cannot_be_written_to_is_said(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("")

    assert "cannot be written to" in refused(capsys, "serve", "--data", tmp_path / "file", "--port", 0)


def test_a_folder_in_use_is_said(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    with Store(tmp_path):
        assert "already running" in refused(capsys, "serve", "--data", tmp_path, "--port", 0)


def test_a_database_from_a_newer_version_is_said(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, empty_database: Path
) -> None:
    database = tmp_path / "cornerbook.sqlite3"
    database.write_bytes(empty_database.read_bytes())
    with sqlite3.connect(database) as connection:
        connection.execute("update alembic_version set version_num = '9999'")
    connection.close()

    assert "newer Cornerbook" in refused(capsys, "serve", "--data", tmp_path, "--port", 0)


def test_what_is_no_database_is_said(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    (tmp_path / "cornerbook.sqlite3").write_bytes(b"this is a shopping list" * 1000)

    assert "cannot be read" in refused(capsys, "serve", "--data", tmp_path, "--port", 0)


def test_a_spoilt_key_is_said(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    (tmp_path / "pin.key").write_text("?")

    assert "pin.key" in refused(capsys, "serve", "--data", tmp_path, "--port", 0)


def test_a_knob_turned_too_far_is_said(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CORNERBOOK_PIN_PASSES", "many")

    assert "CORNERBOOK_PIN_PASSES" in refused(capsys, "serve", "--data", tmp_path)


def test_a_folder_without_a_demo_is_never_emptied(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    (tmp_path / "holiday.jpg").write_text("dear")

    for more in ([], ["--fresh"]):
        assert "Nothing in it was touched" in refused(capsys, "demo", "--data", tmp_path, *more)
    assert [path.name for path in tmp_path.iterdir()] == ["holiday.jpg"]


def test_the_first_start_prints_its_addresses_and_the_code_of_the_set_up(
    start: Callable[..., Running], tmp_path: Path
) -> None:
    running = start("serve", "--data", str(tmp_path / "data"), "--port", "0")

    code = re.search(r"code ([A-Z2-9]{4}-[A-Z2-9]{4})\n", running.said)
    assert code
    assert f"Data folder:      {tmp_path / 'data'}" in running.said
    with urllib.request.urlopen(f"{running.address}/sign-in") as answer:  # noqa: S310
        assert answer.url.endswith("/set-up")
        assert code[1] not in answer.read().decode()
    for phone in re.findall(r"On a phone: +(http://\S+)\n", running.said):
        assert "▀" in running.said
        with urllib.request.urlopen(f"{phone}/health") as answer:  # noqa: S310
            assert answer.read() == b"ok\n"


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_it_stops_in_good_order(
    start: Callable[..., Running], tmp_path: Path, number: signal.Signals
) -> None:
    running = start("serve", "--data", str(tmp_path), "--host", "127.0.0.1", "--port", "0")
    port = int(running.address.rpartition(":")[2])

    with socket.create_connection(("127.0.0.1", port)):  # a phone that holds its connection open
        assert running.stop(number) == (0, "")
    Store(tmp_path).close()


def test_the_demo_says_who_can_sign_in_each_time_it_starts(
    start: Callable[..., Running], tmp_path: Path
) -> None:
    folder = tmp_path / "demo"
    folder.mkdir()
    (folder / "demo.json").write_text(json.dumps([]))  # as left by a start that was cut short
    first = start("demo", "--data", str(folder), "--port", "0")
    first.stop(signal.SIGTERM)
    second = start("demo", "--data", str(folder), "--port", "0")

    def people(said: str) -> list[tuple[str, str, str]]:
        return re.findall(r"^  (\S.*?) +PIN (\d{6})  (\w+)$", said, re.MULTILINE)

    assert {role for _, _, role in people(first.said)} == {"foreman", "technician", "apprentice"}
    assert people(second.said) == people(first.said)
