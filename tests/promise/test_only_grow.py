"""A short run of `only_grow.py`, and that it finds out what it is for."""

import random

import pytest
import sqlalchemy as sa
from hypothesis.stateful import rule

from tests.promise.conftest import Prepared
from tests.promise.only_grow import Corrections, machine_on, run


@pytest.fixture(scope="module")
def machine(prepared: Prepared) -> type[Corrections]:
    return machine_on(prepared.data, prepared.garage, prepared.session)


def test_whatever_is_captured_and_corrected_no_row_goes_or_changes(machine: type[Corrections]) -> None:
    run(machine, examples=6, steps=15, start_from=random.SystemRandom().randrange(2**32))

    assert machine.recorded > 0


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE capture SET text = 'as I wish' WHERE id = 1",
        "DELETE FROM torque_record",
        "DELETE FROM capture",
    ],
)
def test_the_database_refuses_to_change_or_delete_a_row(statement: str, machine: type[Corrections]) -> None:
    here = machine()
    here.pull("70 lbf·ft", "outer-tie-rod-nut")
    with pytest.raises(sa.exc.IntegrityError, match="append-only"), here.store.writing() as db:
        db.execute(sa.text(statement))

    here.nothing_is_gone_or_changed()
    here.teardown()


def test_control_a_row_changed_behind_the_triggers_is_found_out(machine: type[Corrections]) -> None:
    class Tampering(machine):  # type: ignore[misc, valid-type]
        @rule()
        def tamper(self) -> None:
            with self.store.writing() as db:
                db.execute(sa.text("DROP TRIGGER IF EXISTS capture_no_update"))
                db.execute(sa.text("UPDATE capture SET text = text || '!' WHERE id = 1"))

    with pytest.raises(AssertionError, match="gone or changed"):
        run(Tampering, examples=5, steps=10, start_from=1)
