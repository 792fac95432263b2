"""Packs out of one drawer: against brute force and against a general-purpose optimiser."""

from collections import Counter
from itertools import combinations_with_replacement, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, milp

from server.compute.answer import Known
from server.compute.refusal import Refused
from server.compute.shims import CannotMakeUp, Pack, make_up, pack_as_found

INCH = 0.0254  # m, exact by definition
DRAWER = {INCH / 64: 4, INCH / 32: 8, INCH / 16: 8, INCH / 8: 6, 0.0005: 4, 0.001: 6, 0.002: 4, 0.003: 2}


def cost_nm(packs: tuple[Pack, ...]) -> tuple[int, int]:
    error = sum(abs(round(pack.error_m * 1e9)) for pack in packs)
    return error, sum(len(pack.pieces_m) for pack in packs)


def brute_force(wanted: list[float], stock: dict[float, int], tolerance_m: float) -> tuple[int, int] | None:
    """The best cost by trying every multiset of at most three shims for every pack."""
    tries = [Counter(some) for n in range(4) for some in combinations_with_replacement(stock, n)]
    best = None
    for packs in product(tries, repeat=len(wanted)):
        used = sum(packs, Counter())
        if any(used[shim] > stock[shim] for shim in used):
            continue
        errors = [
            abs(round(sum(t * n for t, n in pack.items()) * 1e9) - round(want * 1e9))
            for pack, want in zip(packs, wanted, strict=True)
        ]
        if max(errors) > round(tolerance_m * 1e9):
            continue
        cost = (sum(errors), used.total())
        best = cost if best is None else min(best, cost)
    return best


THICKNESSES = st.sampled_from([0.0004, 0.0005, 0.0008, 0.001, 0.0016, 0.002, 0.0032])


@given(
    wanted=st.lists(st.integers(0, 60).map(lambda tenths: tenths / 10_000), min_size=1, max_size=2),
    stock=st.dictionaries(THICKNESSES, st.integers(0, 3), min_size=1, max_size=4),
    tolerance=st.sampled_from([0.0001, 0.0005, 0.002]),
)
@settings(max_examples=150, deadline=None)
def test_equals_brute_force_on_small_drawers(
    wanted: list[float], stock: dict[float, int], tolerance: float
) -> None:
    expected = brute_force(wanted, stock, tolerance)

    if expected is None:
        with pytest.raises(CannotMakeUp):
            make_up(wanted, stock, tolerance_m=tolerance, most_pieces=3)
    else:
        assert cost_nm(make_up(wanted, stock, tolerance_m=tolerance, most_pieces=3)) == expected


def least_error_by_milp(wanted: list[float], stock: dict[float, int], most_pieces: int) -> float:
    """The least sum of errors [m] as an integer programme: x pieces a pack and shim, e >= |error| a pack."""
    shims, packs = np.array(list(stock)), len(wanted)
    n = len(shims)
    width = packs * n + packs
    objective = np.concatenate([np.zeros(packs * n), np.ones(packs)])
    rows, low, high = [], [], []
    for p, want in enumerate(wanted):
        for sign in (1.0, -1.0):
            row = np.zeros(width)
            row[p * n : (p + 1) * n], row[packs * n + p] = sign * shims * 1000, 1.0
            rows.append(row), low.append(sign * want * 1000), high.append(np.inf)
        row = np.zeros(width)
        row[p * n : (p + 1) * n] = 1.0
        rows.append(row), low.append(0), high.append(most_pieces)
    for s, count in enumerate(stock.values()):
        row = np.zeros(width)
        row[s : packs * n : n] = 1.0
        rows.append(row), low.append(0), high.append(count)
    result = milp(
        objective,
        constraints=LinearConstraint(np.array(rows), low, high),
        integrality=np.concatenate([np.ones(packs * n), np.zeros(packs)]),
    )
    return float(result.fun) / 1000


@pytest.mark.parametrize("seed", range(4))
def test_equals_an_integer_programme_on_a_real_drawer(seed: int) -> None:
    wanted = list(np.random.default_rng(seed).uniform(0.001, 0.008, size=4))

    packs = make_up(wanted, DRAWER, tolerance_m=0.0004, most_pieces=5)

    outside = least_error_by_milp(wanted, DRAWER, 5)
    assert sum(abs(pack.error_m) for pack in packs) == pytest.approx(outside, abs=1e-7)


def test_packs_come_back_in_the_order_wanted() -> None:
    packs = make_up([INCH / 8, INCH / 32, 0.0], DRAWER, tolerance_m=1e-4)

    assert [pack.pieces_m for pack in packs] == [
        (pytest.approx(INCH / 8),),
        (pytest.approx(INCH / 32),),
        (),
    ]
    assert all(abs(pack.error_m) < 1e-9 for pack in packs)


def test_the_error_is_above_zero_when_the_pack_is_too_thick() -> None:
    thick, thin = (make_up([wanted], {0.003: 1}, tolerance_m=1e-4)[0] for wanted in (0.00296, 0.00304))

    assert thick.error_m == pytest.approx(0.00004)
    assert thin.error_m == pytest.approx(-0.00004)


def test_fewer_pieces_win_among_equal_errors() -> None:
    (pack,) = make_up([INCH / 8], {INCH / 16: 2, INCH / 8: 1}, tolerance_m=1e-4)

    assert len(pack.pieces_m) == 1


def test_errors_alike_give_way_to_fewer_pieces() -> None:
    stock = {0.003: 1, 0.0005: 10}
    exact, plain = (
        make_up([0.00305], {**stock, 0.00005: 5}, tolerance_m=1e-4, alike_m=alike)[0] for alike in (0.0, 1e-4)
    )

    assert len(exact.pieces_m) == 2
    assert len(plain.pieces_m) == 1


def test_one_drawer_serves_all_packs() -> None:
    packs = make_up([0.003, 0.003], {0.003: 1, 0.001: 3}, tolerance_m=1e-4)

    assert sorted(len(pack.pieces_m) for pack in packs) == [1, 3]
    with pytest.raises(CannotMakeUp, match="too few shims for them all"):
        make_up([0.003, 0.003, 0.003], {0.003: 1, 0.001: 3}, tolerance_m=1e-4)


def test_a_pack_beyond_the_drawer_says_what_it_falls_short_by() -> None:
    with pytest.raises(CannotMakeUp, match=r"nearest is .*9\.53 mm.*too thin by .*6\.35 mm"):
        make_up([0.015875], {INCH / 8: 3}, tolerance_m=1e-4)


def test_a_pack_between_two_shims_says_it_comes_out_too_thick() -> None:
    with pytest.raises(CannotMakeUp, match=r"too thick by .*\(0\.4 mm\)"):
        make_up([0.0026], {0.003: 3}, tolerance_m=1e-4)


def test_no_pack_takes_more_pieces_than_allowed() -> None:
    with pytest.raises(CannotMakeUp):
        make_up([0.003], {0.001: 9}, tolerance_m=1e-4, most_pieces=2)


def test_a_drawer_too_large_to_look_through_is_refused() -> None:
    drawer = {(100 + n) * 1e-6: 9 for n in range(40)}

    with pytest.raises(Refused, match="too many ways"):
        make_up([0.001], drawer, tolerance_m=5e-4)


@pytest.mark.parametrize(
    ("wanted", "stock", "tolerance"),
    [
        (-0.001, {0.001: 1}, 1e-4),
        (0.001, {0.0: 1}, 1e-4),
        (0.001, {0.001: -1}, 1e-4),
        (0.001, {0.001: 1}, -1e-4),
    ],
)
def test_figures_below_zero_are_refused(wanted: float, stock: dict[float, int], tolerance: float) -> None:
    with pytest.raises(Refused):
        make_up([wanted], stock, tolerance_m=tolerance)


def test_a_pack_as_found_is_the_sum_of_its_pieces() -> None:
    pack = pack_as_found([Known(0.0015875, 0.0001), Known(0.00079375, 0.0001)])

    assert pack.value == pytest.approx(0.00238125)
    assert pack.uncertainty == pytest.approx(0.0001 * 2**0.5)
    assert [item.name for item in pack.inputs] == ["shim 1", "shim 2"]


@pytest.mark.parametrize("pieces", [[], [Known(0.0)], [Known(0.001), Known(-0.001)]])
def test_a_pack_without_thickness_is_refused(pieces: list[Known]) -> None:
    with pytest.raises(Refused):
        pack_as_found(pieces)


def test_a_pack_has_eight_shims_at_most_unless_said_otherwise() -> None:
    assert len(make_up([0.008], {0.001: 20}, tolerance_m=0.0)[0].pieces_m) == 8
    with pytest.raises(CannotMakeUp):
        make_up([0.009], {0.001: 20}, tolerance_m=0.0)


def test_a_nanometre_counts_where_nothing_is_alike() -> None:
    pack = make_up([0.001], {0.001000001: 1, 0.0005: 2}, tolerance_m=1e-6)[0]

    assert pack.pieces_m == (0.0005, 0.0005)


@pytest.mark.parametrize("stock", [{0.001: 3, 0.0: 3}, {0.001: 3, 0.002: -1}])
def test_one_shim_that_cannot_be_spoils_the_drawer(stock: dict[float, int]) -> None:
    with pytest.raises(Refused, match="Every shim"):
        make_up([0.001], stock, tolerance_m=0.0)


def test_what_falls_short_names_the_nearest_of_several() -> None:
    with pytest.raises(CannotMakeUp, match=r"3.5 mm\), too thick by"):
        make_up([0.003], {0.0035: 1, 0.0023: 1}, tolerance_m=0.0001)


def test_without_a_tolerance_the_nearest_is_found_too() -> None:
    with pytest.raises(CannotMakeUp, match=r"0.7 mm\), too thin by"):
        make_up([0.001], {0.0007: 1}, tolerance_m=0.0)
