from pathlib import Path

import pytest
from fastapi import FastAPI

from server.web.asset import Assets
from tests.web.phone import Phone


def test_the_address_of_a_file_changes_with_its_content(tmp_path: Path) -> None:
    file = tmp_path / "a.css"
    file.write_text("a")
    assets = Assets(tmp_path)
    before = assets.address("a.css")

    file.write_text("b")

    assert before.startswith("/static/a.css?v=")
    assert assets.address("a.css") != before


def test_a_file_that_is_not_there_is_an_error_of_the_page_that_wants_it(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        Assets(tmp_path).address("a.css")


def test_a_file_asked_for_by_its_content_may_be_kept_for_good(app: FastAPI, phone: Phone) -> None:
    address = app.state.templates.globals["asset"]("cornerbook.css")

    assert phone.get(address).headers["cache-control"] == "public, max-age=31536000, immutable"
    assert phone.get("/static/cornerbook.css").headers["cache-control"] == "no-cache"


def test_every_static_file_has_a_type_that_browsers_take(phone: Phone) -> None:
    kinds = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
    for name in ("cornerbook.css", "client-id.js", "mark.svg", "vendor/htmx-4.0.1.min.js"):
        answer = phone.get(f"/static/{name}")

        assert answer.headers["content-type"].startswith(kinds[Path(name).suffix])
