"""Write the migration that brings the newest revision to what `tables.py` says now.

`uv run python -m server.store.revise "Add a torque pattern"` makes a further revision,
`uv run python -m server.store.revise --first` the first one anew, which is right only before a release.
"""

import subprocess
import sys
import tempfile
from pathlib import Path

import sqlalchemy as sa
from alembic import command

from server.store import migrate

VERSIONS = migrate.SCRIPTS / "versions"


def revise(message: str) -> None:
    """Compare an empty database at the newest revision with the tables, and write the difference."""
    number = len(list(VERSIONS.glob("r*.py"))) + 1
    with tempfile.TemporaryDirectory() as folder:
        engine = sa.create_engine(f"sqlite:///{folder}/empty.sqlite3")
        if number > 1:
            migrate.upgrade(engine)
        with engine.connect() as connection:
            command.revision(
                migrate.config(connection), message=message, rev_id=f"{number:04}", autogenerate=True
            )
        engine.dispose()
    tidy(*VERSIONS.glob(f"r{number:04}_*.py"))


def tidy(script: Path) -> None:
    """Without alembic's banners, and laid out as the rest of the code is."""
    lines = [line for line in script.read_text().splitlines() if not line.strip().startswith("# ###")]
    script.write_text("\n".join(lines) + "\n")
    subprocess.run(["ruff", "format", "--quiet", script], check=True)  # noqa: S603, S607  ours, from the venv


def rewrite_first() -> None:
    scripts = list(VERSIONS.glob("r*.py"))
    if len(scripts) > 1:
        sys.exit("There are later revisions: the first one is history now.")
    for script in scripts:
        script.unlink()
    revise("Create every table")


if __name__ == "__main__":
    if sys.argv[1:] == ["--first"]:
        rewrite_first()
    elif len(sys.argv) == 2:
        revise(sys.argv[1])
    else:
        sys.exit(__doc__)
