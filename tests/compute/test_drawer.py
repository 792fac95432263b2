"""The ways to fill a pack, and the cheapest set; in whole numbers."""

import pytest

from server.compute import drawer as drawer_search
from server.compute.drawer import DrawerTooLarge, cheapest, ways


def test_every_way_between_low_and_high_is_found_and_none_outside() -> None:
    drawer = ((5, 2), (3, 1), (1, 1))

    found = ways(drawer, 6, 9, 3)

    assert sorted(found) == [(1, 0, 1), (1, 1, 0), (1, 1, 1)]


def test_just_low_and_just_high_are_inside_and_one_less_is_not() -> None:
    assert ways(((5, 2),), 10, 10, 2) == [(2,)]
    assert ways(((5, 2),), 11, 12, 2) == []
    assert ways(((5, 1),), 6, 10, 1) == []


def test_an_empty_pack_is_a_way_where_nothing_is_wanted() -> None:
    assert ways(((5, 1),), 0, 4, 3) == [(0,)]
    assert ways(((5, 1),), -2, 4, 3) == [(0,)]


def test_the_cheapest_set_shares_the_drawer() -> None:
    first = [((0, 1, 0), (1, 0)), ((2, 1, 2), (0, 1))]
    second = [((0, 1, 0), (1, 0)), ((1, 1, 1), (0, 1))]

    assert cheapest([first, second], (1, 1)) == [(1, 0), (0, 1)]
    assert cheapest([first, second], (1, 0)) is None


def test_too_many_ways_are_refused_not_guessed_at() -> None:
    with pytest.raises(DrawerTooLarge):
        ways(tuple((1000 + n, 9) for n in range(12)), 40_000, 40_001, 40)


def test_the_search_may_use_all_its_steps_and_not_one_more(monkeypatch: pytest.MonkeyPatch) -> None:
    one_shim = [[((0, 1, 0), (1,))]]

    monkeypatch.setattr(drawer_search, "MOST_STEPS", 3)
    assert ways(((1, 2),), 1, 2, 2) == [(1,), (2,)]  # nothing, one, two
    monkeypatch.setattr(drawer_search, "MOST_STEPS", 2)
    with pytest.raises(DrawerTooLarge):
        ways(((1, 2),), 1, 2, 2)

    monkeypatch.setattr(drawer_search, "MOST_STEPS", 1)
    assert cheapest(one_shim, (1,)) == [(1,)]
    monkeypatch.setattr(drawer_search, "MOST_STEPS", 0)
    with pytest.raises(DrawerTooLarge):
        cheapest(one_shim, (1,))
