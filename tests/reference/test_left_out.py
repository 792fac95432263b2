"""Every published row at hand is either computed or left out with a reason; none slips away."""

import csv
from pathlib import Path

import pytest

from tests.reference.published import rows


def _left_out(subject: str) -> dict[str, str]:
    with Path(__file__).with_name("left_out.csv").open(newline="") as lines:
        return {row["id"]: row["why"] for row in csv.DictReader(lines) if row["subject"] == subject}


@pytest.mark.parametrize(("subject", "collected"), [("fastener", 187), ("spring", 55)])
def test_every_collected_row_is_computed_or_left_out_with_a_reason(subject: str, collected: int) -> None:
    computed = {row.id.split(".")[0] for row in rows(subject)}
    left_out = _left_out(subject)

    assert len(computed | left_out.keys()) == collected
    assert not computed & left_out.keys()
    assert all(left_out.values())


@pytest.mark.parametrize("subject", ["fastener", "spring", "alignment"])
def test_every_row_names_its_source_and_how_sure_it_is(subject: str) -> None:
    assert all(row.source and row.confidence for row in rows(subject))
