"""A server of a few lines around the real templates and scripts, which keeps what it was sent."""

from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO
from pathlib import Path
from threading import Thread
from urllib.parse import parse_qsl, urlsplit

from PIL import Image

from server.web.headers import CONTENT_POLICY
from server.web.multipart import read
from server.web.page import templates

ROOT = Path(__file__).parents[2]
KINDS = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}

TOP = """{% extends "base.html" %}
{% from "macros/form.html" import button, field, choice, hidden_ids, photo_button %}
{% from "macros/photo.html" import pin_photo %}
{% block title %}Try{% endblock %}
{% block scope %}step{% endblock %}
"""
PAGES = {
    "/photos": """{% block main %}
<h1>Photos</h1>
<form method="post" action="/photos" enctype="multipart/form-data" hx-post="/photos" hx-target="#answer">
  {{ hidden_ids(form_key) }}
  {{ photo_button("photo", "Take a photo") }}
</form>
<div id="answer"></div>
{% endblock %}""",
    "/marks": """{% block main %}
<h1>Marks</h1>
<form class="form" method="post" action="/marks">
  {{ hidden_ids(form_key) }}
  {{ pin_photo("/picture", "Bolts", 1200, 900) }}
  {{ field("text", "What") }}
  {{ button("Keep the mark") }}
</form>
{% endblock %}""",
    "/notes": """{% block main %}
<h1>Notes</h1>
<form class="form" method="post" action="/notes" data-keep-typing="note">
  {{ hidden_ids(form_key) }}
  {{ field("text", "Note") }}
  {{ choice("side", "Side", [("l", "Left"), ("r", "Right")]) }}
  {{ button("Keep") }}
</form>
<a href="/marks">Away</a>
{% endblock %}""",
}


class Site(ThreadingHTTPServer):
    """Answers 503 to forms while `broken`; `got` has each form as name and text, a file by its size."""

    daemon_threads = True

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), Handler)
        self.broken = False
        self.got: list[dict[str, str]] = []
        self.environment = templates(str(ROOT / "templates"))
        self.environment.globals["asset"] = "/static/{}".format
        picture = BytesIO()
        Image.new("RGB", (1200, 900), "grey").save(picture, "JPEG")
        self.picture = picture.getvalue()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.server_port}"

    def page(self, path: str) -> bytes:
        page = self.environment.from_string(TOP + PAGES[path])
        return page.render(visitor=None, shop_name=None, form_key="key").encode()


class Handler(BaseHTTPRequestHandler):
    server: Site

    def do_GET(self) -> None:
        path = urlsplit(self.path).path
        if path == "/picture":
            self.answer(200, self.server.picture, "image/jpeg")
        elif path in PAGES:
            self.answer(200, self.server.page(path))
        else:
            file = ROOT / path.lstrip("/")
            self.answer(200, file.read_bytes(), KINDS[file.suffix])

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"]))
        kind = self.headers["Content-Type"]
        self.server.got.append(
            multipart_form(body, kind) if "multipart" in kind else dict(parse_qsl(body.decode(), True))
        )
        if self.server.broken:
            self.answer(503, b"<p>Broken</p>")
        elif self.headers["HX-Request"]:
            self.answer(200, b"<p>Kept</p>")
        else:
            self.answer(303, b"", headers={"Location": self.path})

    def answer(
        self, status: int, body: bytes, kind: str = "text/html", headers: dict[str, str] | None = None
    ) -> None:
        self.send_response(status)
        always = {"Content-Type": kind, "Content-Length": str(len(body)), "Cache-Control": "no-store"}
        for name, value in (always | {"Content-Security-Policy": CONTENT_POLICY} | (headers or {})).items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_: object) -> None:
        """Quiet."""


def multipart_form(body: bytes, kind: str) -> dict[str, str]:
    parts = read(body, kind, most_parts=20)
    return {part.name: str(len(part.body)) if part.file_name else part.body.decode() for part in parts}


@contextmanager
def running() -> Iterator[Site]:
    with Site() as site:
        Thread(target=site.serve_forever, daemon=True).start()
        yield site
        site.shutdown()
