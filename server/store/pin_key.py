"""The key mixed into every PIN: kept beside the database, so that a stolen database alone gives none up."""

import os
import secrets
from pathlib import Path

from server.store.durable import sync_folder
from server.store.refused import StoreRefused

NAME = "pin.key"
BYTES = 32


def read_or_make(folder: Path) -> bytes:
    """The key of this data folder, made at the first start, readable by its owner only.

    raises  StoreRefused where the file is there but is not a key
    """
    path = folder / NAME
    if not path.exists():
        _make(path)
    try:
        key = bytes.fromhex(path.read_text(encoding="ascii"))
    except (ValueError, OSError) as error:
        raise _unusable(path) from error
    if len(key) != BYTES:
        raise _unusable(path)
    return key


def is_there(folder: Path) -> bool:
    return (folder / NAME).exists()


def _make(path: Path) -> None:
    """Whole or not at all: written beside, synced, then renamed."""
    draft = path.with_suffix(".new")
    draft.unlink(missing_ok=True)
    descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "w", encoding="ascii") as file:
        file.write(secrets.token_hex(BYTES))
        file.flush()
        os.fsync(file.fileno())
    draft.replace(path)
    sync_folder(path.parent)


def _unusable(path: Path) -> StoreRefused:
    return StoreRefused(f"{path} is not a key that Cornerbook made. Put back the file of the last backup.")
