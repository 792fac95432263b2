"""A bad radio link: a TCP proxy that cuts connections and swallows answers, by a seed.

with Proxy(server.address, draw=random.Random(seed), share=0.3) as proxy:
    ...  # phones post to proxy.address
"""

import random
import socket
import threading
from dataclasses import dataclass, field
from typing import Self
from urllib.parse import urlsplit

PIECE = 2048


@dataclass
class Proxy:
    target: str
    draw: random.Random
    share: float  # of the connections that something happens to
    swallow_only: bool = False  # every question arrives, its answer does not
    cut: int = field(default=0, init=False)
    _listening: socket.socket = field(init=False)

    def __enter__(self) -> Self:
        self._listening = socket.create_server(("127.0.0.1", 0))
        threading.Thread(target=self._accept, daemon=True).start()
        return self

    def __exit__(self, *_error: object) -> None:
        self._listening.shutdown(socket.SHUT_RDWR)
        self._listening.close()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self._listening.getsockname()[1]}"

    @property
    def host(self) -> str:
        """What the server is called: a proxy does not change the Host."""
        return urlsplit(self.target).netloc

    def _accept(self) -> None:
        while True:
            try:
                phone, _ = self._listening.accept()
            except OSError:  # closed
                return
            threading.Thread(target=self._carry, args=(phone, self._fate()), daemon=True).start()

    def _fate(self) -> tuple[int, int]:
        """How many bytes get through to the server, and back."""
        if self.draw.random() >= self.share:
            return 2**40, 2**40
        self.cut += 1
        if self.swallow_only or self.draw.random() < 0.5:
            return 2**40, 0
        return self.draw.randrange(1500), 2**40

    def _carry(self, phone: socket.socket, fate: tuple[int, int]) -> None:
        parts = urlsplit(self.target)
        with phone, socket.create_connection((str(parts.hostname), int(parts.port or 0))) as server:
            back = threading.Thread(target=_pump, args=(server, phone, fate[1]), daemon=True)
            back.start()
            _pump(phone, server, fate[0])
            back.join()


def _pump(source: socket.socket, sink: socket.socket, most: int) -> None:
    """Carry so many bytes one way, then hang up on both; none at all still waits for the first."""
    try:
        while piece := source.recv(PIECE):
            sink.sendall(piece[:most])
            most -= len(piece)
            if most <= 0:
                break
    except OSError:  # the other side has hung up
        pass
    finally:
        for one in (source, sink):
            _hang_up(one)


def _hang_up(one: socket.socket) -> None:
    try:
        one.shutdown(socket.SHUT_RDWR)
    except OSError:  # it has done so already
        return
