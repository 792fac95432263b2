"""Whole packs out of one drawer, against trying everything."""

from itertools import product
from math import inf

import numpy as np
import pytest

from server.compute.drawer import DrawerTooLarge
from server.compute.pack_choice import ALIKE, Limits, NoPacks, Wish, choose, fewest_pieces
from server.compute.refusal import Refused

INCH_m = 0.0254
NM = 1e-9
# Camber and caster per metre of pack, over half a degree: a usual corner.
EFFECT = np.radians([[117.6, 112.4], [336.0, -334.0]]) / np.radians(0.5)
REAL = {
    INCH_m / 64: 8,
    INCH_m / 32: 12,
    INCH_m / 16: 12,
    3 * INCH_m / 32: 6,
    INCH_m / 8: 12,
    3 * INCH_m / 16: 6,
    INCH_m / 4: 6,
}


def by_trying_everything(
    wishes: list[Wish], stock: dict[float, int], most: int
) -> tuple[int, int, float] | None:
    """Least error in steps, pieces, error of all sets that the drawer can make; none where there is none."""
    kinds = sorted(stock)
    heights, counts = [round(kind / NM) for kind in kinds], [stock[kind] for kind in kinds]
    packs = [_every_pack(heights, counts, kept_m, most) for wish in wishes for kept_m in wish.kept_m]
    corners = [_every_corner(wish, *packs[2 * n : 2 * n + 2]) for n, wish in enumerate(wishes)]
    error, pieces, used = corners[0]
    for more_error, more_pieces, more_used in corners[1:]:
        error = (error[:, None] + more_error).ravel()
        pieces = (pieces[:, None] + more_pieces).ravel()
        used = (used[:, None] + more_used).reshape(-1, len(kinds))
    error = np.where(np.all(used <= counts, axis=1), error, inf)
    if not np.isfinite(error).any():
        return None
    steps = np.where(np.isfinite(error), error, 1e9) // ALIKE
    best = np.lexsort((error, pieces, steps))[0]
    return int(steps[best]), int(pieces[best]), float(error[best])


def _every_pack(heights, counts, kept_m, most):
    """Height [nm], pieces, how many of each kind, of every pack that could be made alone."""
    kept_nm = round(kept_m / NM)
    found = []
    for taken in product(*(range(count + 1) for count in counts)):
        height = sum(n * h for n, h in zip(taken, heights, strict=True))
        for kept in (0, 1) if kept_nm else (0,):
            if sum(taken) + kept <= most:
                found.append((height + kept * kept_nm, sum(taken) + kept, taken))
    return found


def _every_corner(wish, fronts, rears):
    pairs = list(product(fronts, rears))
    heights = np.array([(f[0], r[0]) for f, r in pairs]).T * NM
    error = wish.errors(*heights)
    used = np.array([np.add(f[2], r[2]) for f, r in pairs])
    return error, np.array([f[1] + r[1] for f, r in pairs]), used


def chosen(wishes, packs):
    """The rank of what was chosen."""
    error = sum(
        float(wish.errors(np.array(front.thickness_m), np.array(rear.thickness_m)))
        for wish, (front, rear) in zip(wishes, packs, strict=True)
    )
    return int(error // ALIKE), sum(len(one.pieces_m) for pair in packs for one in pair), error


def _small_case(random):
    kinds = random.choice([1, 2, 3, 4, 6, 8], 2, replace=False) * INCH_m / 64
    stock = {float(kind): int(random.integers(1, 3)) for kind in kinds}
    limits = Limits(0.004, 0.002) if random.random() < 0.5 else Limits()
    wishes = [
        Wish(
            *map(float, random.uniform(-1e-3, 5e-3, 2)),
            EFFECT * random.uniform(0.5, 2),
            limits,
            (float(random.choice([0, 2.1e-3])), float(random.choice([0, 1.3e-3]))),
        )
        for _ in range(random.integers(1, 3))
    ]
    return wishes, stock


@pytest.mark.parametrize("seed", range(10))
def test_a_hundred_small_drawers_are_used_as_well_as_by_trying_everything(seed):
    random = np.random.default_rng(seed)
    for _ in range(100):
        wishes, stock = _small_case(random)
        best = by_trying_everything(wishes, stock, 3)
        if best is None:
            with pytest.raises(NoPacks):
                choose(wishes, stock, most_pieces=3)
            continue
        assert chosen(wishes, choose(wishes, stock, most_pieces=3)) == pytest.approx(best, abs=1e-9)


@pytest.mark.parametrize(
    ("sixty_fourths", "wanted_m", "effect"),
    [
        pytest.param({1: 1, 4: 3, 16: 1}, (0.0055, 0.0074), 0.1, id="as good with fewer pieces"),
        pytest.param({1: 3, 2: 3, 12: 3}, (0.0088, 0.0099), 3.0, id="better"),
    ],
)
def test_what_is_better_further_off_is_found_too(sixty_fourths, wanted_m, effect):
    stock = {kind * INCH_m / 64: count for kind, count in sixty_fourths.items()}
    wishes = [Wish(*wanted_m, EFFECT * effect)]

    best = by_trying_everything(wishes, stock, 3)

    assert chosen(wishes, choose(wishes, stock, most_pieces=3)) == pytest.approx(best, abs=1e-9)


def test_packs_as_thick_as_each_other_are_not_apart_however_thick():
    ((front, rear),) = choose([Wish(INCH_m / 4, INCH_m / 4, EFFECT, Limits(most_apart_m=0.002))], REAL)

    assert front.pieces_m == rear.pieces_m == pytest.approx((INCH_m / 4,))


def test_no_more_of_a_shim_is_used_than_there_is():
    wishes = [Wish(INCH_m / 16, 0.0, EFFECT), Wish(INCH_m / 16, 0.0, EFFECT)]

    packs = choose(wishes, {INCH_m / 16: 1})

    assert sum(len(one.pieces_m) for pair in packs for one in pair) == 1


def test_a_pack_that_is_in_may_stay_whole_but_only_where_it_is():
    odd_m = 0.00333
    front_wants = [Wish(odd_m, 0.0, EFFECT, kept_m=(odd_m, 0.0))]
    rear_wants = [Wish(0.0, odd_m, EFFECT, kept_m=(odd_m, 0.0))]

    ((front, rear),) = choose(front_wants, {})
    assert front.pieces_m == pytest.approx((odd_m,))
    assert rear.pieces_m == ()

    ((front, rear),) = choose(rear_wants, {})
    assert rear.pieces_m == ()


def test_a_pack_that_would_have_to_be_less_than_none_is_left_out():
    ((front, _rear),) = choose([Wish(-0.002, 0.003175, EFFECT)], REAL)

    assert front.pieces_m == ()
    assert front.error_m == pytest.approx(0.002)


def test_limits_are_kept_even_when_the_exact_packs_break_them():
    limits = Limits(most_m=0.006, most_apart_m=0.002)

    ((front, rear),) = choose([Wish(0.009, 0.003, EFFECT, limits)], REAL)

    assert front.thickness_m <= 0.006 + 1e-9
    assert abs(front.thickness_m - rear.thickness_m) <= 0.002 + 1e-9


def test_limits_may_be_met_exactly():
    limits = Limits(most_m=INCH_m / 8, most_apart_m=INCH_m / 8)

    ((front, rear),) = choose([Wish(INCH_m / 8, 0.0, EFFECT, limits)], REAL)

    assert front.pieces_m == pytest.approx((INCH_m / 8,))
    assert rear.pieces_m == ()


@pytest.mark.parametrize("wanted_m", [(0.003, 0.003), (1.0, 0.0), (0.0, 1.0)])
def test_an_empty_drawer_and_no_packs_leave_none(wanted_m):
    for stock in ({}, {INCH_m / 8: 0}):
        assert [one.pieces_m for one in choose([Wish(*wanted_m, EFFECT)], stock)[0]] == [(), ()]


def test_a_pack_has_eight_pieces_at_most_unless_more_are_said_to_fit():
    nine = [Wish(9 * INCH_m / 64, 9 * INCH_m / 64, EFFECT)]
    stock = {INCH_m / 64: 18}

    assert [len(one.pieces_m) for one in choose(nine, stock)[0]] == [8, 8]
    assert [len(one.pieces_m) for one in choose(nine, stock, most_pieces=9)[0]] == [9, 9]


@pytest.mark.parametrize("stock", [{0.0: 3}, {-0.001: 3}, {0.001: -1}])
def test_a_shim_of_no_thickness_and_fewer_than_none_are_refused(stock):
    with pytest.raises(Refused, match="above 0"):
        choose([Wish(0.003, 0.003, EFFECT)], stock)


def test_among_packs_as_good_the_fewest_pieces_are_taken():
    ((front, _),) = choose([Wish(INCH_m / 8, 0.0, EFFECT)], {INCH_m / 64: 8, INCH_m / 16: 2, INCH_m / 8: 1})

    assert front.pieces_m == pytest.approx((INCH_m / 8,))


def test_every_thickness_is_known_with_its_fewest_pieces():
    assert fewest_pieces(((4, 1), (1, 4)), 3, 6) == {0: 0, 1: 1, 2: 2, 3: 3, 4: 1, 5: 2, 6: 3}
    assert fewest_pieces(((4, 1), (1, 4)), 3, 4) == {0: 0, 1: 1, 2: 2, 3: 3, 4: 1}
    assert fewest_pieces(((4, 1), (3, 2)), 3, 6) == {0: 0, 3: 1, 4: 1, 6: 2}


def test_a_search_without_end_is_refused_in_words(monkeypatch):
    monkeypatch.setattr("server.compute.pack_choice.MOST_SETS", 0)
    with pytest.raises(DrawerTooLarge, match="too many ways"):
        choose([Wish(0.003, 0.003, EFFECT)], REAL)
