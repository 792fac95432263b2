"""Write a dump of a filled database at the newest revision, for later versions to upgrade from in a test.

`uv run python tests/store/revisions/write.py`, after a revision was made. Dumps of released
revisions stay as they are.
"""

import sqlite3
import sys
import tempfile
from contextlib import closing
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parents[2]))

from server.store import migrate  # noqa: E402
from server.store.engine import Store  # noqa: E402
from tests.store.fill import fill  # noqa: E402


def dump() -> str:
    with tempfile.TemporaryDirectory() as folder:
        with Store(Path(folder)) as store:
            fill(store)
        with closing(sqlite3.connect(Path(folder) / "cornerbook.sqlite3")) as db:
            return "\n".join(db.iterdump()) + "\n"


if __name__ == "__main__":
    (HERE / f"{migrate.head()}.sql").write_text(dump())
