from pathlib import Path

import pytest

from server.app import beside, create_app
from server.settings import Settings
from server.store.engine import Store
from server.store.refused import StoreRefused
from tests.shop.garage import open_garage


def test_a_shop_whose_key_is_gone_does_not_get_another(store: Store, tmp_path: Path) -> None:
    open_garage(store)

    with pytest.raises(StoreRefused, match=r"pin\.key is missing"):
        create_app(Settings(data=tmp_path / "data"), store)
    assert not (tmp_path / "data" / "pin.key").exists()


def test_a_new_shop_gets_a_key_of_its_own(store: Store, tmp_path: Path) -> None:
    create_app(Settings(data=tmp_path / "data", pin_passes=1, pin_memory_KiB=8), store)

    assert (tmp_path / "data" / "pin.key").exists()


@pytest.mark.parametrize(("folder", "file"), [("templates", "base.html"), ("static", "cornerbook.css")])
def test_templates_and_static_files_are_found_wherever_the_package_is(folder: str, file: str) -> None:
    assert (beside(folder) / file).is_file()
