"""Every page that shows what somebody typed, and a shop that has something to show on each."""

import sqlite3
from contextlib import closing
from pathlib import Path

from tests.promise.garage import DATABASE, Garage
from tests.promise.sender import Sender

LENGTH, POINT = "corner.upper-arm", "point.upper-ball.up"
SHOWN = (
    "/",
    "/jobs",
    "/jobs/new",
    "/jobs/{job}",
    "/jobs/{job}/tags",
    "/jobs/{job}/labels",
    "/jobs/{job}/targets",
    "/jobs/{job}/alignment",
    "/jobs/{job}/what-if",
    "/jobs/{job}/release",
    "/jobs/{job}/handover",
    "/steps/{down}",
    "/steps/{up}",
    "/steps/{bench}",
    "/vehicles/{vehicle}/spec",
    "/vehicles/{vehicle}/spec/{line}",
    "/vehicles/{vehicle}/corner",
    "/vehicles/{vehicle}/corner/{length}",
    "/vehicles/{vehicle}/points",
    "/vehicles/{vehicle}/points/{point}",
    "/tags/{code}",
    "/shims",
    "/bays",
    "/people",
    "/people/2",
    "/me",
)
"""Addresses of pages; one more page is one more line."""

NOT_SHOWN = {
    "/api/openapi.json": "describes the bench alone",
    "/bench": "knows no shop",
    "/bench/{name}": "knows no shop",
    "/health": "one word",
    "/jobs/plan": "shows what is planned, of words of ours",
    "/photos/{digest}/{size}": "a picture",
    "/set-up": "before there is a shop",
    "/sign-in": "before anybody is known",
    "/steps/{step_id}/settings/{fastener}": "the page of the step",
}
"""Addresses that show no text of anybody's, and why not."""


def fill(data: Path, garage: Garage, sender: Sender) -> None:
    """Something of everything: corrections, a gap, a mark, a torque, a drawer, a bay, a corner."""
    for kind in ("photo", "mark", "gap", "note", "measurement", "torque record", "torque record"):
        sender.insist(sender.make(kind))
    with closing(sqlite3.connect(data / DATABASE)) as db, db:
        [measured] = db.execute("SELECT max(id) FROM capture WHERE kind = 'measurement'").fetchone()
        [note] = db.execute("SELECT max(id) FROM capture WHERE kind = 'note'").fetchone()
        db.execute("INSERT INTO bay (shop_id, name, place) VALUES (1, 'Pit', 1)")
        db.execute("INSERT INTO shim (shop_id, text, thickness_m, count) VALUES (1, '1/16', 0.0015875, 3)")
        db.execute("UPDATE job SET bay_id = 1")
    down = f"/steps/{garage.down_step}"
    for path, of in ((f"{down}/measurements", measured), (f"{down}/notes", note)):
        asked = {"key": "tie-rod.length", "place": "LF"} if path.endswith("measurements") else {}
        form = asked | {"text": "12 3/4 in", "supersedes": str(of), "reason": "wrong edge"}
        assert sender.send(path, form).status_code == 303
    for page, lines in (
        ("corner", {"corner.steer": "behind", LENGTH: "8 in"}),
        ("points", {POINT: "450 mm"}),
    ):
        assert (
            sender.send(f"/vehicles/{garage.vehicle}/{page}", lines | {"source": "Tape"}).status_code == 303
        )


def park(data: Path) -> None:
    with closing(sqlite3.connect(data / DATABASE)) as db, db:
        db.execute("UPDATE job SET parked_at = opened_at, parked_by = 2")
        db.execute("UPDATE hazard SET made_safe_by = 2")


def release(data: Path) -> None:
    with closing(sqlite3.connect(data / DATABASE)) as db, db:
        db.execute("UPDATE job SET released_at = opened_at, released_by = 2, parked_at = NULL")


def addresses(data: Path, garage: Garage) -> list[str]:
    """The addresses of the pages of that shop."""
    with closing(sqlite3.connect(data / DATABASE)) as db:
        [code] = db.execute("SELECT min(code) FROM tag").fetchone()
        [line] = db.execute("SELECT min(key) FROM spec WHERE key LIKE 'torque.%'").fetchone()
        [bench] = db.execute("SELECT min(step_id) FROM decision").fetchone()
    known = {
        "job": garage.job,
        "down": garage.down_step,
        "up": garage.up_steps[0],
        "bench": bench,
        "vehicle": garage.vehicle,
        "line": line,
        "length": LENGTH,
        "point": POINT,
        "code": code,
    }
    return [path.format(**known) for path in SHOWN]
