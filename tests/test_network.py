import socket

import pytest

from server.network import PortRefused, lan_addresses, listen, url


def test_a_port_in_use_is_refused_with_what_to_do() -> None:
    with listen("127.0.0.1", 0) as first, pytest.raises(PortRefused, match=r"in use.*--port"):
        listen("127.0.0.1", first.getsockname()[1])


def test_an_address_that_is_not_here_is_refused_with_what_to_do() -> None:
    with pytest.raises(PortRefused, match=r"no address 203\.0\.113\.7"):
        listen("203.0.113.7", 0)


def test_a_port_is_free_again_right_after_it_was_used() -> None:
    with listen("127.0.0.1", 0) as first:
        port = first.getsockname()[1]
        with socket.create_connection(("127.0.0.1", port)):
            first.accept()[0].close()

    listen("127.0.0.1", port).close()


def test_what_is_written_to_a_phone_leaves_at_once() -> None:
    with (
        listen("127.0.0.1", 0) as listening,
        socket.create_connection(listening.getsockname()),
        listening.accept()[0] as accepted,
    ):
        assert accepted.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "::1"])
def test_listening_to_this_machine_only_leaves_phones_out(host: str) -> None:
    assert lan_addresses(host) == []


def test_listening_to_one_address_offers_that_one() -> None:
    assert lan_addresses("192.168.7.5") == ["192.168.7.5"]


def test_listening_everywhere_offers_no_address_that_only_this_machine_has() -> None:
    assert not any(address.startswith("127.") for address in lan_addresses("0.0.0.0"))  # noqa: S104


def test_an_address_is_written_as_browsers_take_it() -> None:
    assert [url("192.168.7.5", 8765), url("fd00::5", 80)] == [
        "http://192.168.7.5:8765",
        "http://[fd00::5]:80",
    ]
