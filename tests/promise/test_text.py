"""Whatever was typed is shown as text: a page full of hostile strings is the harmless page, word for word.

Each text of the shop is once a word that stands for its column and once all thirty strings. Read as a browser
reads it, the second page has to be the first with the words replaced: no other tag, no other attribute.
"""

import re
import shutil
from collections.abc import Callable
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest
from sqlmodel import SQLModel
from sqlmodel.sql.sqltypes import AutoString

from server.app import create_app
from server.settings import Settings
from server.store.engine import Store
from server.web.visitor import utc_now
from tests.promise import places
from tests.promise.conftest import Prepared
from tests.promise.garage import library
from tests.promise.hostile import COLUMNS, FREE, OURS, STRINGS, all_thirty, plant, word
from tests.promise.phone import phone_of
from tests.promise.sender import Sender
from tests.promise.starter import Starter
from tests.web.test_visitor import all_routes

Token = tuple[str, ...]
Pages = dict[str, list[Token]]

NOWHERE = {("tag_move", "shelf"), ("shim", "text")}
"""Kept, and shown on no page of a shop like this one."""


class Reader(HTMLParser):
    """What a browser would make of a page: tags with their attributes, and texts between them."""

    def __init__(self) -> None:
        super().__init__()
        self.tokens: list[Token] = []

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        fresh = ("client_id", "form_key") if ("type", "hidden") in attributes else ()
        hide = dict(attributes).get("name") in fresh
        self.tokens += [("tag", tag)]
        for name, value in attributes:
            self.tokens.append(("attribute", name, "" if hide and name == "value" else value or ""))

    def handle_endtag(self, tag: str) -> None:
        self.tokens.append(("end", tag))

    def handle_data(self, text: str) -> None:
        self.tokens.append(("text", text))

    def handle_comment(self, text: str) -> None:
        self.tokens.append(("comment", text))


def read(page: str) -> list[Token]:
    reader = Reader()
    reader.feed(page)
    reader.close()
    return reader.tokens


@pytest.fixture(scope="module")
def shown(
    prepared: Prepared, starter: Starter, tmp_path_factory: pytest.TempPathFactory
) -> Callable[[str, Callable[[str, str], str]], Pages]:
    """Fetches every page of a shop: shown("parked", word)."""
    made, moment = tmp_path_factory.mktemp("shown"), utc_now()
    filled = shutil.copytree(prepared.data, made / "filled")
    server = starter.start(filled)
    sender = Sender(prepared.garage, prepared.session, server.address, filled)
    places.fill(filled, prepared.garage, sender)
    sender.client.close()
    server.kill()

    @cache
    def fetch(state: str, text: Callable[[str, str], str], *, escape: bool = True) -> Pages:
        data = shutil.copytree(filled, made / f"{state}-{text.__name__}-{escape}")
        {"open": lambda _data: None, "parked": places.park, "released": places.release}[state](data)
        plant(data, text)
        with Store(data) as store:
            app = create_app(Settings(data=data), store, lambda: moment, library())
            app.state.templates.autoescape = escape
            phone = phone_of(app, prepared.session)
            found = {path: phone.get(path) for path in places.addresses(data, prepared.garage)}
        bad = {path: one.status_code for path, one in found.items() if one.status_code != 200}
        assert bad == {}
        return {path: read(one.text) for path, one in found.items()}

    return fetch


def with_words_replaced(tokens: list[Token]) -> list[Token]:
    words = {word(*column): all_thirty(*column) for column in COLUMNS}
    pattern = re.compile("|".join(words))
    return [tuple(pattern.sub(lambda hit: words[hit[0]], part) for part in token) for token in tokens]


@pytest.mark.parametrize("state", ["open", "parked", "released"])
def test_every_page_shows_thirty_hostile_strings_as_text(state: str, shown: Callable[..., Pages]) -> None:
    harmless, hostile = shown(state, word), shown(state, all_thirty)

    for path, tokens in harmless.items():
        assert hostile[path] == with_words_replaced(tokens), path


def test_each_text_is_on_some_page(shown: Callable[..., Pages]) -> None:
    pages = [shown(state, word) for state in ("open", "parked")]
    everything = "\n".join(str(tokens) for found in pages for tokens in found.values())

    assert {column for column in COLUMNS if word(*column) not in everything} == NOWHERE


def test_control_pages_that_do_not_escape_are_found_out(shown: Callable[..., Pages]) -> None:
    hostile, harmless = shown("open", all_thirty, escape=False), shown("open", word)

    changed = [path for path, tokens in harmless.items() if hostile[path] != with_words_replaced(tokens)]

    assert len(changed) > len(harmless) / 2


def test_every_column_of_text_is_known_as_somebodys_or_ours() -> None:
    texts = {
        (table.name, column.name)
        for table in SQLModel.metadata.sorted_tables
        for column in table.columns
        if isinstance(column.type, AutoString)
    }
    ours = {(table, column) for table, columns in OURS.items() for column in columns}

    assert texts == set(COLUMNS) | ours
    assert len(STRINGS) == len(set(STRINGS)) == 30
    assert all(columns for columns in FREE.values())


def test_every_page_is_in_the_list_or_shows_nobodys_text(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        app = create_app(Settings(data=tmp_path), store, library=library())
        paths = {route.path for route in all_routes(app.routes) if "GET" in route.methods}

    def gaps(path: str) -> str:
        return re.sub(r"{[^}]+}|\b2$", "*", path)

    listed = {gaps(path) for path in places.SHOWN}
    assert {path for path in paths if gaps(path) not in listed} == set(places.NOT_SHOWN)
