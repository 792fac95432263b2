"""A phone to use the application with, and the people who hold one."""

import re
import secrets
from datetime import UTC, datetime, timedelta
from typing import Any

import httpx
from fastapi import FastAPI
from starlette.testclient import TestClient

from server.web import cookie

PEOPLE = {
    "Ann Adler": ("foreman", "748291"),
    "Bo Berg": ("technician", "592604"),
    "Cy Castle": ("technician", "830517"),
    "Dee Dunn": ("apprentice", "461938"),
}
PARTIAL = {"HX-Request": "true", "HX-Request-Type": "partial"}  # as htmx asks for a part of a page


class Clock:
    """Stands still until it is told to go on."""

    def __init__(self) -> None:
        self.now = datetime(2026, 11, 25, 14, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now

    def pass_by(self, **time: float) -> None:
        self.now += timedelta(**time)


class Phone(TestClient):
    """A browser that keeps its cookies, follows no redirect, and fills in the hidden fields of forms."""

    form_key = ""

    def __init__(
        self, app: FastAPI, *, address: str = "192.168.7.20", host: str = "localhost", lenient: bool = False
    ) -> None:
        """lenient  take a failure of the server as the answer that a browser would see."""
        super().__init__(
            app,
            base_url=f"http://{host}",
            follow_redirects=False,
            client=(address, 50000),
            raise_server_exceptions=not lenient,
        )

    def fill_in(
        self,
        path: str,
        *,
        files: Any = None,
        headers: dict[str, str] | None = None,
        client_id: str = "",
        **form: str | list[str],
    ) -> httpx.Response:
        hidden = {"form_key": self.form_key, "client_id": client_id or secrets.token_urlsafe(16)}
        return self.post(path, data=hidden | form, files=files, headers=headers)

    def open_form(self, path: str) -> httpx.Response:
        """Look at a page and take over the key of its forms."""
        answer = self.get(path)
        self.form_key = re.search(r'name="form_key" value="([^"]+)"', answer.text)[1]  # type: ignore[index]
        return answer

    def sign_in(self, name: str, pin: str, **form: str) -> httpx.Response:
        self.open_form("/sign-in")
        answer = self.fill_in("/sign-in", name=name, pin=pin, **form)
        if answer.status_code == 303:
            self.take_key()
        return answer

    def keep(self, *, session: str, device: str, form_key: str) -> None:
        """The cookies of somebody who has signed in, and the key of their forms."""
        for name, token in ((cookie.SESSION, session), (cookie.PHONE, device)):
            self.cookies.set(name, token, domain="localhost.local", path="/")
        self.form_key = form_key

    def take_key(self) -> None:
        """The key of the session, from a page that everybody has."""
        self.open_form("/me")
