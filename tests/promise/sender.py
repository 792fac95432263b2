"""A phone that posts captures: it makes the id first, keeps what it sends, and sends until it hears."""

import io
import secrets
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any

import httpx
from PIL import Image

from tests.promise.garage import DATABASE, Garage, Session
from tests.promise.proxy import Proxy

KINDS = ("photo", "mark", "measurement", "note", "gap", "torque record")
ASKED = {"key": "tie-rod.length", "place": "LF"}
NUTS = ("outer-tie-rod-nut", "inner-tie-rod-nut")


@dataclass(frozen=True, slots=True)
class Sending:
    """One capture on its way: what is posted where, and what tells its row from all others."""

    kind: str
    path: str
    form: dict[str, str]
    content: str  # the text, or the photo's digest
    photo: bytes = b""
    client_id: str = field(default_factory=lambda: secrets.token_urlsafe(16))

    @property
    def row_id(self) -> str:
        """The id of its row: a form may carry several photos, so theirs are numbered."""
        return f"{self.client_id}.0" if self.kind == "photo" else self.client_id


class Sender:
    """One phone, signed in; `number` tells what it sends from what the others do."""

    def __init__(
        self,
        garage: Garage,
        session: Session,
        address: str,
        data: Path,
        number: int = 0,
        timeout_s: float = 30,
    ) -> None:
        self._garage, self._session, self._data = garage, session, data
        self._number, self._made = number, 0
        self._nut = NUTS[number % 2], garage.up_steps[number // 2 % 2]
        self.client = httpx.Client(base_url=address, cookies=session.cookies, timeout=timeout_s)

    def go_to(self, address: str) -> None:
        """The server has come back at another port."""
        self.client.base_url = httpx.URL(address)

    def go_through(self, proxy: Proxy) -> None:
        """What is sent from now on goes through it, each time on a connection of its own."""
        self.go_to(proxy.address)
        self.client.headers.update({"Host": proxy.host, "Connection": "close"})

    def post(self, sending: Sending, **headers: str) -> httpx.Response:
        form = sending.form | {"form_key": self._session.form_key, "client_id": sending.client_id}
        files = {"photo": ("shot.jpg", sending.photo, "image/jpeg")} if sending.photo else None
        named = {f"X-{name.replace('_', '-')}": value for name, value in headers.items()}
        return self.client.post(sending.path, data=form, files=files, headers=named)

    def send(self, path: str, form: dict[str, str]) -> httpx.Response:
        """Any other form."""
        hidden = {"form_key": self._session.form_key, "client_id": secrets.token_urlsafe(16)}
        return self.client.post(path, data=hidden | form)

    def insist(self, sending: Sending) -> int:
        """Send it until it is acknowledged, as a phone does; how often that took."""
        for times in range(1, 50):
            try:
                answer = self.post(sending)
            except httpx.TransportError:
                continue
            assert answer.status_code == 303, answer.text
            return times
        raise AssertionError(f"never acknowledged: {sending}")

    def make(self, kind: str) -> Sending:
        """The next capture of that kind: no two are alike."""
        self._made += 1
        number = self._number * 100_000 + self._made
        makers: dict[str, Callable[[int], Sending]] = {
            "photo": self._photo,
            "mark": self._mark,
            "measurement": self._measurement,
            "note": self._note,
            "gap": self._gap,
            "torque record": self._torque,
        }
        return makers[kind](number)

    def other(self, sending: Sending) -> Sending:
        """Another capture under the same id."""
        again = self.make(sending.kind)
        return Sending(again.kind, again.path, again.form, again.content, again.photo, sending.client_id)

    def _step(self, what: str) -> str:
        return f"/steps/{self._garage.down_step}/{what}"

    def _photo(self, number: int) -> Sending:
        shot = picture(number)
        form = {"key": "tie-rod.photo", "place": "LF"}
        return Sending("photo", self._step("photos"), form, sha256(shot).hexdigest(), shot)

    def _mark(self, number: int) -> Sending:
        query = "SELECT min(id) FROM capture WHERE kind = 'photo' AND step_id = ?"
        [photo] = self._look_up(query, self._garage.down_step)
        text = f"centre punch {number}"
        form = {"key": "", "place": "", "photo": str(photo), "text": text, "tap.x": "140", "tap.y": "105"}
        return Sending("mark", self._step("marks"), form, text)

    def _measurement(self, number: int) -> Sending:
        text = f"320.{number:07d} mm"
        return Sending("measurement", self._step("measurements"), ASKED | {"text": text}, text)

    def _note(self, number: int) -> Sending:
        text = f"boot split, note {number}"
        return Sending("note", self._step("notes"), {"text": text}, text)

    def _gap(self, number: int) -> Sending:
        text = f"rusted through {number}"
        return Sending("gap", self._step("gaps"), ASKED | {"text": text}, text)

    def _torque(self, number: int) -> Sending:
        """The first pull of this phone's own nut, then one correction of it after the other."""
        fastener, step = self._nut
        text = f"70.{number:07d} lbf·ft"
        query = "SELECT max(id) FROM torque_record WHERE fastener = ? AND step_id = ? AND act = 'torque'"
        [last] = self._look_up(query, fastener, step)
        if last is None:
            form = {"fastener": fastener, "text": text, "wrench": "no. 3", "setting": "", "paint": "yes"}
            return Sending("torque record", f"/steps/{step}/torques", form, text)
        form = {"text": text, "reason": "read again"}
        return Sending("torque record", f"/steps/{step}/torques/{last}/correction", form, text)

    def _look_up(self, query: str, *values: Any) -> tuple[Any, ...]:
        with closing(sqlite3.connect(self._data / DATABASE)) as db:
            found: tuple[Any, ...] = db.execute(query, values).fetchone()
        return found


def picture(number: int) -> bytes:
    """A small photo that no other number has, whatever the compression makes of it."""
    file = io.BytesIO()
    image = Image.new("RGB", (64, 48), (number % 200, number // 200 % 200, 90))
    image.save(file, "JPEG", quality=90, comment=str(number).encode())
    return file.getvalue()
