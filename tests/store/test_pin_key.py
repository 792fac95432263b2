import stat
from pathlib import Path

import pytest

from server.store import pin_key
from server.store.refused import StoreRefused


def test_a_key_is_made_once_and_stays(tmp_path: Path) -> None:
    key = pin_key.read_or_make(tmp_path)

    assert len(key) == 32
    assert pin_key.read_or_make(tmp_path) == key


def test_two_folders_have_two_keys(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()

    assert pin_key.read_or_make(tmp_path / "a") != pin_key.read_or_make(tmp_path / "b")


def test_nobody_else_may_read_it(tmp_path: Path) -> None:
    pin_key.read_or_make(tmp_path)

    assert stat.S_IMODE((tmp_path / "pin.key").stat().st_mode) == 0o600
    assert [path.name for path in tmp_path.iterdir()] == ["pin.key"]


def test_a_draft_left_by_a_crash_is_no_key(tmp_path: Path) -> None:
    (tmp_path / "pin.new").write_text("12")

    assert len(pin_key.read_or_make(tmp_path)) == 32


@pytest.mark.parametrize("content", [b"", b"not a key", b"ab" * 31, b"ab" * 33, b"\xff" * 64])
def test_a_spoilt_key_is_refused_and_not_replaced(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "pin.key").write_bytes(content)

    with pytest.raises(StoreRefused, match=r"pin\.key is not a key"):
        pin_key.read_or_make(tmp_path)
    assert (tmp_path / "pin.key").read_bytes() == content
