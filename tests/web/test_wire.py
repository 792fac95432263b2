"""What only a real connection shows: requests that no client library would send."""

import socket
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn
from fastapi import FastAPI

from server.network import listen
from server.serve import configure
from server.settings import Settings

HOST = b"Host: 127.0.0.1:%d\r\n"


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """With little patience, so that a body standing still is given up within the test."""
    return Settings(data=tmp_path / "data", pin_passes=1, pin_memory_KiB=8, body_idle_s=2)


@pytest.fixture
def port(app: FastAPI) -> Iterator[int]:
    with listen("127.0.0.1", 0) as listening:
        server = uvicorn.Server(configure(app))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        while not server.started:
            thread.join(0.01)
        yield listening.getsockname()[1]
        server.should_exit = True
        thread.join()


def ask(port: int, request: bytes, *, host: bool = True, hang_up: bool = False) -> list[int]:
    """The statuses of all answers until the server closes the connection, which it has to within 5 s."""
    first, _, rest = request.partition(b"\r\n")
    whole = first + b"\r\n" + (HOST % port if host else b"") + rest
    with socket.create_connection(("127.0.0.1", port), timeout=5) as connection:
        connection.sendall(whole)
        if hang_up:
            connection.shutdown(socket.SHUT_WR)
        answer = b""
        while piece := connection.recv(65536):
            answer += piece
    return [int(line.split()[1]) for line in answer.split(b"\r\n") if line.startswith(b"HTTP/1.1 ")]


def test_a_plain_request_is_answered(port: int) -> None:
    assert ask(port, b"GET /health HTTP/1.1\r\nConnection: close\r\n\r\n") == [200]


@pytest.mark.parametrize(
    "header",
    [
        b"",
        b"Host: evil.example\r\n",
        b"Host: a\r\nHost: b\r\n",
        b"Host: 127.0.0.1\r\nHost: evil.example\r\n",
        b"Host:\r\n",
    ],
)
def test_a_host_that_is_absent_double_or_strange_is_refused(port: int, header: bytes) -> None:
    request = b"GET /health HTTP/1.1\r\n" + header + b"Connection: close\r\n\r\n"

    assert ask(port, request, host=False) in ([400], [421])


def test_the_address_with_another_port_is_refused(port: int) -> None:
    request = b"GET /health HTTP/1.1\r\nHost: 127.0.0.1:1\r\nConnection: close\r\n\r\n"

    assert ask(port, request, host=False) == [421]


@pytest.mark.parametrize(
    "request_line",
    [
        b"GET http://evil.example/health HTTP/1.1",
        b"CONNECT evil.example:443 HTTP/1.1",
        b"TRACE /health HTTP/1.1",
    ],
)
def test_a_request_meant_for_a_proxy_gets_nothing(port: int, request_line: bytes) -> None:
    (status,) = ask(port, request_line + b"\r\nConnection: close\r\n\r\n")

    assert status in (400, 404, 405)


@pytest.mark.parametrize(
    "headers",
    [
        pytest.param(
            b"Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n", id="length and chunked"
        ),
        pytest.param(b"Content-Length: 5\r\nContent-Length: 6\r\n\r\nhello", id="two lengths"),
        pytest.param(b"Content-Length: -5\r\n\r\nhello", id="negative length"),
        pytest.param(b"Content-Length: 0x5\r\n\r\nhello", id="hexadecimal length"),
        pytest.param(b"Transfer-Encoding: chunked\r\n\r\nZZ\r\nhello\r\n0\r\n\r\n", id="size that is none"),
        pytest.param(b"Transfer-Encoding: chunked\r\n\r\n-5\r\nhello\r\n0\r\n\r\n", id="negative size"),
        pytest.param(b"Transfer-Encoding: chunked\r\n\r\nFFFFFFFFFFFFFFFFFFFFF\r\nx", id="endless size"),
        pytest.param(b"Transfer-Encoding: gzip, chunked\r\n\r\n0\r\n\r\n", id="another coding"),
        pytest.param(b"Transfer-Encoding : chunked\r\n\r\n0\r\n\r\n", id="blank before the colon"),
    ],
)
def test_a_body_with_two_readings_is_refused_and_the_connection_closed(port: int, headers: bytes) -> None:
    smuggled = b"GET /health HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n\r\n" % port

    answers = ask(port, b"POST /sign-in HTTP/1.1\r\n" + headers + smuggled)

    assert 200 not in answers
    assert len(answers) <= 1
    assert all(400 <= status < 502 for status in answers)


@pytest.mark.parametrize(
    "headers",
    [
        pytest.param(b"X: " + b"y" * 20_000 + b"\r\n", id="20 KiB"),
        pytest.param(b"X: y\r\n" * 4000, id="4,000 headers"),
        pytest.param(b"X: a\x00b\r\n", id="NUL"),
        pytest.param(b"X: a\rb\r\n", id="CR alone"),
        pytest.param(b"X y\r\n", id="no colon"),
        pytest.param(b" X: y\r\n", id="continues nothing"),
        pytest.param(b"\xc3\xa9: y\r\n", id="name that is not ASCII"),
    ],
)
def test_headers_that_are_none_or_too_many_are_refused(port: int, headers: bytes) -> None:
    (status,) = ask(port, b"GET /health HTTP/1.1\r\n" + headers + b"Connection: close\r\n\r\n")

    assert status in (400, 421, 431)  # 421 where it was read as part of the Host before it


@pytest.mark.parametrize(
    "path", [b"//evil.example/", b"/\\evil.example", b"/./me", b"/static/../me", b"/%2e%2e/"]
)
def test_a_path_that_wants_to_be_another_is_not_there(port: int, path: bytes) -> None:
    assert ask(port, b"GET " + path + b" HTTP/1.1\r\nConnection: close\r\n\r\n") == [404]


def test_a_body_shorter_than_it_was_said_to_be_records_nothing(port: int) -> None:
    request = b"POST /sign-in HTTP/1.1\r\nContent-Type: application/x-www-form-urlencoded\r\n"

    assert ask(port, request + b"Content-Length: 500\r\n\r\nname=a", hang_up=True) in ([], [400])


def test_a_body_that_is_too_long_is_refused_before_it_is_sent(port: int) -> None:
    request = b"POST /sign-in HTTP/1.1\r\nContent-Length: 99999999999\r\n\r\n"

    assert ask(port, request) == [413]


def test_a_body_that_stands_still_is_given_up(port: int) -> None:
    head = b"POST /sign-in HTTP/1.1\r\nContent-Type: application/x-www-form-urlencoded\r\n"
    with socket.create_connection(("127.0.0.1", port), timeout=10) as connection:
        connection.sendall(head + HOST % port + b"Content-Length: 50\r\n\r\nname=")

        assert connection.recv(100).startswith(b"HTTP/1.1 408 ")
