"""The demo: an invented shop in a data folder of its own, which may be thrown away at any time."""

import importlib
import json
import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import cast

from fastapi import FastAPI

from server.settings import Settings
from server.shop.shop import the_shop
from server.store.engine import Store
from server.store.lock import FolderLock
from server.store.photo import PhotoStore
from server.store.refused import StoreRefused

MARK = "demo.json"  # says that the folder is ours to empty; holds the people and their PINs

Person = tuple[str, str, str]  # name, role, PIN
Seed = Callable[[Store, PhotoStore, Settings, datetime], list[Person]]


def make_ready(folder: Path, *, fresh: bool) -> None:
    """Empty the folder if that is asked for, or if an earlier seeding was cut short.

    raises  StoreRefused where the folder holds something that is not a demo
    """
    is_demo = (folder / MARK).exists()
    if folder.exists() and any(folder.iterdir()) and not is_demo:
        raise StoreRefused(f"{folder} is not empty and holds no demo. Nothing in it was touched.")
    if is_demo and (fresh or not _people(folder)):
        _empty(folder)
    folder.mkdir(parents=True, exist_ok=True)
    if not (folder / MARK).exists():
        _note(folder, [])


def fill(app: FastAPI) -> str:
    """Seed the shop if that has not been done, and say who can sign in."""
    settings: Settings = app.state.settings
    with app.state.store.reading() as db:
        is_new = the_shop(db) is None
    if is_new:
        print("Inventing a shop, with its cars and pictures. This takes a moment.", flush=True)
        # The seeds stand above the server and are looked up only here.
        seed = cast(Seed, importlib.import_module("seed_demo").seed)
        _note(settings.data, seed(app.state.store, app.state.photos, settings, app.state.clock()))
    return _list(_people(settings.data))


def _list(people: list[Person]) -> str:
    wide = max((len(name) for name, _, _ in people), default=0)
    lines = [f"  {name:<{wide}}  PIN {pin}  {role}" for name, role, pin in people]
    return "\n".join(("An invented shop. Sign in as one of", *lines, "", ""))


def _people(folder: Path) -> list[Person]:
    people = json.loads((folder / MARK).read_text(encoding="utf-8"))
    return [(name, role, pin) for name, role, pin in people]


def _note(folder: Path, people: list[Person]) -> None:
    (folder / MARK).write_text(json.dumps(people, indent=1), encoding="utf-8")


def _empty(folder: Path) -> None:
    """Not while a server runs on it; the mark goes last, so that half-emptied it is still a demo."""
    FolderLock(folder).release()
    for path in folder.iterdir():
        if path.is_dir():
            shutil.rmtree(path)
        elif path.name != MARK:
            path.unlink()
    (folder / MARK).unlink()
