"""What a phone fetches before the first page works."""

import gzip
import hashlib
import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
MOST_COMPRESSED_BYTES = 50_000


def test_all_of_it_is_small() -> None:
    named = re.findall(r"asset\('([^']+)'\)", (ROOT / "templates/base.html").read_text())

    sizes = [len(gzip.compress((ROOT / "static" / name).read_bytes())) for name in named]

    assert len(named) > 5
    assert sum(sizes) < MOST_COMPRESSED_BYTES


def test_each_script_is_one_behaviour_of_a_screen_or_two() -> None:
    lengths = {path.name: len(path.read_text().splitlines()) for path in (ROOT / "static").glob("*.js")}

    assert lengths
    assert max(lengths.values()) < 200


def test_htmx_is_the_file_its_note_names() -> None:
    note = (ROOT / "static/vendor/README.txt").read_text()

    digest = hashlib.sha256((ROOT / "static/vendor/htmx-4.0.1.min.js").read_bytes()).hexdigest()

    assert f"sha-256  {digest}" in note
