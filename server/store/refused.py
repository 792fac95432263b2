"""Why a store does not open: each carries one sentence for whoever started the server."""

from pathlib import Path


class StoreRefused(Exception):
    """The store cannot be opened. `str()` is the sentence to print."""


class StoreUnwritable(StoreRefused):
    def __init__(self, folder: Path, reason: str) -> None:
        super().__init__(f"The data folder {folder} cannot be written to: {reason}.")


class StoreInUse(StoreRefused):
    def __init__(self, folder: Path) -> None:
        super().__init__(f"Cornerbook is already running on the data folder {folder}.")


class StoreNewer(StoreRefused):
    def __init__(self, database: str, revision: str) -> None:
        super().__init__(
            f"{database} was written by a newer Cornerbook (its tables are at revision {revision}, "
            "which this one does not know). Install that version or a later one."
        )


class StoreUnreadable(StoreRefused):
    def __init__(self, database: str, reason: str) -> None:
        super().__init__(f"{database} cannot be read as a Cornerbook database: {reason}.")
