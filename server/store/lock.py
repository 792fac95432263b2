"""One server on one data folder. A second one is refused before it touches anything."""

import sqlite3
from pathlib import Path

from server.store.refused import StoreInUse, StoreUnwritable


class FolderLock:
    """Held from construction to `release`, and let go by the system if the process dies.

    An exclusive transaction on an empty SQLite file: the same lock, on the same kind of file
    system, that the database itself relies on, so where the one does not hold neither does the other.

    raises     StoreInUse, StoreUnwritable
    """

    def __init__(self, folder: Path) -> None:
        try:
            self._holder = sqlite3.connect(
                folder / "cornerbook.lock", timeout=0, isolation_level=None, check_same_thread=False
            )
        except sqlite3.OperationalError as error:
            raise StoreUnwritable(folder, str(error)) from error
        try:
            self._holder.execute("PRAGMA journal_mode=off")  # nothing is ever written
            self._holder.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as error:
            self._holder.close()
            if error.sqlite_errorcode == sqlite3.SQLITE_BUSY:
                raise StoreInUse(folder) from error
            raise StoreUnwritable(folder, str(error)) from error

    def release(self) -> None:
        self._holder.close()
