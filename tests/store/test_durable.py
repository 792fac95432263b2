"""The order of the system calls by which a photo and its row become safe, as the kernel saw them.

A power cut is more than a killed process: only what was synced before it is there afterwards. So each
name below has to be synced before the next step relies on it, and all before the phone hears of it.
"""

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.need import need_strace

JOURNAL = "cornerbook.sqlite3-journal"
CALL = re.compile(r"^(?:\d+ +)?(\w+)\((.*)\) += (?!-1)")


@pytest.fixture(scope="module")
def calls(tmp_path_factory: pytest.TempPathFactory, empty_database: Path) -> list[str]:
    """What the recording of one photo did to the data folder, a short word for each call."""
    strace = need_strace()
    data = tmp_path_factory.mktemp("traced")
    shutil.copy(empty_database, data)
    trace = data.parent / "trace"
    watched = "trace=write,pwrite64,fsync,fdatasync,rename,mkdir,ftruncate"
    command = [strace, "-f", "--seccomp-bpf", "-y", "-s", "200", "-o", trace, "-e", watched]
    subprocess.run(
        [*command, sys.executable, "-m", "tests.store.record", data, "1"], check=True, capture_output=True
    )
    return [word for line in trace.read_text().splitlines() if (word := shorten(line, data))]


def shorten(line: str, data: Path) -> str | None:
    """The call and the file, as in `fsync photos/shelf/incoming/received`; no digests, no random names."""
    call = CALL.match(line)
    if call and call[1] == "write" and call[2].startswith("1<"):
        return "acknowledge"
    if not call or str(data) not in line:
        return None
    path = call[2].split(f"{data}", 1)[1]
    path = re.split(r'[>",]', path, maxsplit=1)[0]
    path = re.sub(r"/[0-9a-f]{64}", "/home", re.sub(r"\.incoming-\w+", "incoming", path))
    path = re.sub(r"photos/[0-9a-f]{2}\b", "photos/shelf", path)
    zeroed = (
        " zeroed" if call[1] == "pwrite64" and call[2].count("\\0") >= 28 and ", 28, 0" in call[2] else ""
    )
    return f"{call[1]} {path.lstrip('/')}{zeroed}"


def in_order(calls: list[str], *steps: str) -> bool:
    """Whether all of each step happened before any of the next."""
    firsts = [calls.index(step) for step in steps]
    lasts = [len(calls) - 1 - calls[::-1].index(step) for step in steps]
    return all(last < first for last, first in zip(lasts[:-1], firsts[1:], strict=True))


@pytest.mark.parametrize("name", ["received", "display.jpg", "thumbnail.jpg"])
def test_each_file_is_synced_before_the_photo_gets_its_name(calls: list[str], name: str) -> None:
    file = f"photos/shelf/incoming/{name}"

    assert in_order(calls, f"write {file}", f"fsync {file}", "rename photos/shelf/incoming")


def test_every_new_name_is_synced_before_the_row_is_written(calls: list[str]) -> None:
    first_of_row = f"pwrite64 {JOURNAL}"

    assert in_order(
        calls,
        "fsync photos/shelf/incoming",
        "rename photos/shelf/incoming",
        "fsync photos/shelf",
        first_of_row,
    )
    assert in_order(calls, "mkdir photos/shelf", "fsync photos", first_of_row)
    assert in_order(calls, "mkdir photos", "fsync ", first_of_row)


def test_the_journal_is_synced_before_the_database_is_touched(calls: list[str]) -> None:
    touched = calls.index("pwrite64 cornerbook.sqlite3")
    journal = calls[calls.index(f"pwrite64 {JOURNAL}") : touched]

    assert "fdatasync " in journal  # the name of the journal
    assert journal[-2:] == [f"pwrite64 {JOURNAL}", f"fdatasync {JOURNAL}"]


def test_the_commit_is_synced_before_it_is_acknowledged(calls: list[str]) -> None:
    after = calls[calls.index("fdatasync cornerbook.sqlite3") + 1 :]

    assert after == [f"pwrite64 {JOURNAL} zeroed", f"fdatasync {JOURNAL}", "acknowledge"]
    assert in_order(calls, "pwrite64 cornerbook.sqlite3", "fdatasync cornerbook.sqlite3", "acknowledge")
