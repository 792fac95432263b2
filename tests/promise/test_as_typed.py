"""A number means what was typed: kept to the letter beside its value, and echoed as it was read.

Rows A1 to A28 of the catalogue of bad inputs, as a phone sends them. Values are worked out by hand from
1 in = 25.4 mm, 1 lbf·ft = 1.3558179483314 N·m (derived).
"""

import shutil
from collections.abc import Iterator
from html import escape
from pathlib import Path

import pytest
import sqlalchemy as sa
from sqlmodel import col, select

from server.app import create_app
from server.settings import Settings
from server.store.engine import Store
from server.store.tables import Capture, TorqueRecord
from tests.promise.conftest import Prepared
from tests.promise.garage import library
from tests.promise.phone import phone_of
from tests.promise.sender import ASKED
from tests.web.phone import Phone

LENGTHS = (
    ('12 5/8"', 0.320675),
    ("12-5/8 in", 0.320675),
    ("12⅝ in", 0.320675),
    ("320,7 mm", 0.3207),
    ("320.7 mm", 0.3207),
)
TORQUES = (("70 ft-lb", 94.907256), ("70 lbf·ft", 94.907256), ("70 lb ft", 94.907256), ("95 Nm", 95.0))
NO_LENGTH = (
    *("13.1/4", "13 - 1/4", "13/1/4", "1/4/2", "13 5/4", "1/0", "0/0", "13 1/0"),
    *("NaN", "nan", "inf", "-Infinity", "1e309", "1e400", "1e-400", "1e10000000", "1_000", "1 000", "1'000"),
    *("1.234,5", "1,234.5", "1,2,3", "٣٣٦٫٥", "३३६", "３３６．５", "-5", "5 Nm"),
    *("", "   ", "-", "n/a", "?", "same", "ok", "320.7 mm 5", "320.7 or 321", "~320", ">320"),
    *("5\u200b", "\u202e5", "3\xa02\u200b0", "3\t20\n7", "1" * 400, "0" * 4301 + "1"),
    *("true", "[5]", '{"v":5}', "=1+1", "5; DROP TABLE capture", "5<!--", "${7*7}", "{{7*7}}"),
)
NO_TORQUE = ("0", "0 Nm", "5 mm", "70 lb", "-70", "NaN", "1e2", "", "same", "70,5,5", "٧٠")


class Bench:
    """A phone at a step, and what is kept of what it sends."""

    def __init__(self, phone: Phone, store: Store, prepared: Prepared) -> None:
        self.phone, self.store, self.garage = phone, store, prepared.garage

    def measure(self, text: str, **more: str) -> int:
        path = f"/steps/{self.garage.down_step}/measurements"
        self.answer = self.phone.fill_in(path, **ASKED | {"text": text} | more)
        return self.answer.status_code

    def pull(self, text: str) -> int:
        form = {"fastener": "outer-tie-rod-nut", "text": text, "paint": "yes"}
        self.answer = self.phone.fill_in(f"/steps/{self.garage.up_steps[0]}/torques", **form)
        return self.answer.status_code

    def last(self, table: type[Capture] | type[TorqueRecord]) -> Capture | TorqueRecord:
        with self.store.reading() as db:
            return db.exec(select(table).order_by(col(table.id).desc()).limit(1)).one()

    def count(self) -> int:
        with self.store.reading() as db:
            query = "SELECT (SELECT count(*) FROM capture) + (SELECT count(*) FROM torque_record)"
            found: int = db.execute(sa.text(query)).scalar_one()
        return found


@pytest.fixture(scope="module")
def bench(prepared: Prepared, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    data: Path = shutil.copytree(prepared.data, tmp_path_factory.mktemp("typed") / "data")
    with Store(data) as store:
        app = create_app(Settings(data=data), store, library=library())
        yield Bench(phone_of(app, prepared.session), store, prepared)


@pytest.mark.parametrize(("typed", "value_m"), LENGTHS)
def test_a_length_is_kept_to_the_letter_and_echoed_as_read(typed: str, value_m: float, bench: Bench) -> None:
    assert bench.measure(typed) == 303

    kept = bench.last(Capture)
    assert (kept.text, kept.value) == (typed, pytest.approx(value_m, rel=1e-12))
    page = bench.phone.get(f"/steps/{bench.garage.down_step}").text
    assert escape(typed).replace("&quot;", "&#34;") in page
    assert kept.read_as.rpartition(" = ")[2] in page


@pytest.mark.parametrize("typed", NO_LENGTH)
def test_what_is_no_length_is_refused_kept_in_its_field_and_not_recorded(typed: str, bench: Bench) -> None:
    before = bench.count()

    assert bench.measure(typed) == 422

    assert 'aria-invalid="true"' in bench.answer.text
    assert escape(typed).replace("&quot;", "&#34;").replace("&#x27;", "&#39;") in bench.answer.text
    assert bench.count() == before


@pytest.mark.parametrize("typed", NO_TORQUE)
def test_what_is_no_torque_is_refused_kept_in_its_field_and_not_recorded(typed: str, bench: Bench) -> None:
    before = bench.count()

    assert bench.pull(typed) == 422

    assert 'aria-invalid="true"' in bench.answer.text
    assert f'value="{typed}"' in bench.answer.text
    assert bench.count() == before


@pytest.mark.parametrize("typed", ["1,234 mm", "1.234 mm", "32070 mm", "12"])
def test_a_length_hard_to_believe_is_recorded_only_when_confirmed(typed: str, bench: Bench) -> None:
    before = bench.count()
    assert bench.measure(typed) in (303, 422)
    if bench.answer.status_code == 422:
        assert 'name="confirmed"' in bench.answer.text
        assert bench.count() == before
        assert bench.measure(typed, confirmed="yes") == 303
        assert bench.last(Capture).confirmed


@pytest.mark.parametrize("typed", ["75 in-lb", "7500 Nm"])
def test_a_torque_outside_its_window_wants_confirming(typed: str, bench: Bench) -> None:
    before = bench.count()

    assert bench.pull(typed) == 422

    assert 'name="confirmed"' in bench.answer.text
    assert bench.count() == before


def test_a_torque_is_kept_to_the_letter(prepared: Prepared, tmp_path: Path) -> None:
    for number, (typed, value_Nm) in enumerate(TORQUES):
        data = shutil.copytree(prepared.data, tmp_path / str(number))
        with Store(data) as store:
            app = create_app(Settings(data=data), store, library=library())
            here = Bench(phone_of(app, prepared.session), store, prepared)
            assert here.pull(typed) == 303
            kept = here.last(TorqueRecord)
        assert (kept.text, kept.value) == (typed, pytest.approx(value_Nm, rel=1e-6))


@pytest.mark.parametrize("text", ["5\0", "12\0 5/8"])
def test_a_nul_is_refused(text: str, bench: Bench) -> None:
    before = bench.count()

    assert bench.measure(text) == 422
    assert bench.count() == before


def test_a_megabyte_of_digits_is_refused_unread(bench: Bench) -> None:
    assert bench.measure("1" * 2**20) == 413
