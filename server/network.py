"""Where this machine can be reached: its own port, and its addresses in the shop's network."""

import errno
import ipaddress
import socket

SOMEWHERE = ("192.0.2.1", 9)  # an address kept for documentation (RFC 5737); nothing is sent to it
BACKLOG = 128


class PortRefused(Exception):
    """The port cannot be listened on. `str()` is the sentence to print."""


def listen(host: str, port: int) -> socket.socket:
    """A listening socket; port 0 takes any that is free.

    Its connections send at once: else a page's body waits until the phone has acknowledged the headers,
    which it is in no hurry to do (40 ms and more).

    raises  PortRefused
    """
    try:
        family = socket.AF_INET6 if ":" in host else socket.AF_INET
        listening = socket.create_server((host, port), family=family, backlog=BACKLOG)
    except OSError as error:
        raise PortRefused(_sentence(host, port, error)) from error
    listening.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    return listening


def lan_addresses(host: str) -> list[str]:
    """The addresses a phone can use, the likeliest first; none if only this machine is listened to."""
    if not _is_everywhere(host):
        return [] if _is_loopback(host) else [host]
    named = _addresses_of(socket.gethostname())
    return [one for one in dict.fromkeys(_outgoing() + named) if not _is_loopback(one)]


def url(host: str, port: int) -> str:
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"


def _sentence(host: str, port: int, error: OSError) -> str:
    if isinstance(error, PermissionError):
        return f"Port {port} needs special rights here. Choose one above 1024 with --port."
    if isinstance(error, socket.gaierror) or error.errno == errno.EADDRNOTAVAIL:
        return f"This machine has no address {host}. Leave --host out to listen on all it has."
    return f"Port {port} is in use. Is Cornerbook running already? Choose another with --port."


def _outgoing() -> list[str]:
    """The address of the way out, which is the network's that the phones are in."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(SOMEWHERE)
        except OSError:  # no network at all
            return []
        return [probe.getsockname()[0]]


def _addresses_of(name: str) -> list[str]:
    try:
        return [str(found[4][0]) for found in socket.getaddrinfo(name, None, socket.AF_INET)]
    except OSError:  # a machine that cannot look up its own name
        return []


def _is_everywhere(host: str) -> bool:
    return host in ("0.0.0.0", "::", "")  # noqa: S104 - compared with, not bound to


def _is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"
