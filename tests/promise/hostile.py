"""Thirty texts that want to be more than text, and a shop in which every text is made of them."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from tests.promise.garage import DATABASE

STRINGS = (
    "javascript:alert(1)//",
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    '"><img src=//elsewhere.example/x onerror=alert(1)>',
    "'><svg onload=alert(1)>",
    '" autofocus onfocus=alert(1) x="',
    "' autofocus onfocus=alert(1) x='",
    "</textarea><script>alert(1)</script>",
    "</title><script>alert(1)</script>",
    "</script><script>alert(1)</script>",
    "</style><script>alert(1)</script>",
    "<!-- <script>alert(1)</script>",
    "--><script>alert(1)</script>",
    "<a hx-post=/sign-out hx-trigger=load>x</a>",
    "<div data-hx-get=//elsewhere.example/ data-hx-trigger=load>",
    '" hx-get="/sign-out" hx-trigger="load" x="',
    "<iframe src=javascript:alert(1)>",
    "<iframe srcdoc='<script>alert(1)</script>'>",
    "<object data=//elsewhere.example/x>",
    "<link rel=stylesheet href=//elsewhere.example/x.css>",
    "<meta http-equiv=refresh content='0;url=//elsewhere.example/'>",
    "<base href=//elsewhere.example/>",
    "<form action=//elsewhere.example/><button>Sign in</button></form>",
    "<style>*{background:url(//elsewhere.example/x)}</style>",
    "&lt;script&gt;alert(1)&lt;/script&gt; &#60;b&#62; &amp;lt;",
    "{{7*7}} {% raw %} ${7*7} #{7*7}",
    "<scr\u200bipt>alert(1)</scr\u200bipt> \u202ealert(1)\u202c",
    "<math><mtext></form><form><mglyph><svg><mtext><style><img src=x onerror=alert(1)>",
    '=HYPERLINK("//elsewhere.example/") \'; DROP TABLE capture;--',
    "<details open ontoggle=alert(1)><video><source onerror=alert(1)></video></details>",
)

FREE = {
    "shop": ("name",),
    "bay": ("name",),
    "person": ("name",),
    "vehicle": ("make", "model", "plate"),
    "spec": ("text", "source", "reason"),
    "shim": ("text",),
    "job": ("parked_why",),
    "capture": ("text", "read_as", "reason"),
    "tag": ("shelf",),
    "tag_move": ("shelf",),
    "decision": ("reason",),
    "target": ("says",),
    "torque_record": ("text", "wrench", "setting", "reason"),
    "hold": ("text",),
    "hazard": ("made_safe",),
}
"""Columns that hold what somebody typed, or words made of it."""

OURS = {
    "shop": {"system"},
    "person": {"name_key", "role", "pin_hash"},
    "sign_in": {"token_hash", "form_key", "device"},
    "guess": {"address"},
    "receipt": {"client_id", "kind", "digest", "answer"},
    "vehicle": {"drive", "front_end"},
    "spec": {"client_id", "key", "quantity"},
    "job": {"front_end", "sides", "drive"},
    "step": {"operation", "place", "direction", "state"},
    "photo": {"digest"},
    "capture": {"client_id", "key", "place", "kind", "quantity", "photo_digest"},
    "tag": {"client_id", "code", "part", "place", "state"},
    "tag_move": {"client_id", "state"},
    "decision": {"client_id", "part", "place", "verdict"},
    "target": {"key", "place", "quantity", "formula", "source"},
    "torque_record": {"client_id", "fastener", "act"},
    "verification": {"client_id"},
    "hold": {"key", "needs_role"},
    "hazard": {"kind", "place"},
}
"""Columns that hold words of our own choosing, however hard one types."""

COLUMNS = tuple((table, column) for table, columns in FREE.items() for column in columns)


def word(table: str, column: str) -> str:
    """A harmless text that stands for that column alone."""
    return f"zq{table}{column}qz".replace("_", "")


def all_thirty(table: str, column: str) -> str:
    """Every string one after the other, the scheme first where it could be one; no two columns alike."""
    return "".join(STRINGS) + word(table, column)


def plant(data: Path, text: Callable[[str, str], str]) -> None:
    """Put `text(table, column)` into every free column of every row, past every rule."""
    with closing(sqlite3.connect(data / DATABASE)) as db, db:
        for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            db.execute(f"DROP TRIGGER {name}")
        for table, column in COLUMNS:
            db.execute(f"UPDATE {table} SET {column} = ?", [text(table, column)])  # noqa: S608
