"""Which shims: the drawer is small enough here to look through every way by hand or by brute force."""

from itertools import product

import pytest

from server.compute.shims import Pack, make_up
from server.shop.pack import ALIKE_m, which_shims
from tests.shop.bench_top import INCH_m, evidence

LF, RF = ("pack.front", "LF"), ("pack.front", "RF")


def said(**given):
    return which_shims(evidence(**given), system="inch")


def test_a_pack_is_made_up_of_the_fewest_shims_that_come_to_its_thickness():
    found = said(down={LF: "5/32 in"}, drawer={"1/8 in": 2, "1/32 in": 5, "1/16 in": 2})

    assert found == {LF: "From the drawer: 1 × 1/8 in + 1 × 1/32 in."}


def test_packs_share_one_drawer_so_that_no_shim_is_promised_twice():
    found = said(down={LF: "1/8 in", RF: "1/8 in"}, drawer={"1/8 in": 1, "1/16 in": 4})

    assert sorted(found.values()) == ["From the drawer: 1 × 1/8 in.", "From the drawer: 2 × 1/16 in."]


def test_a_shim_goes_where_it_is_needed_most_not_where_it_is_asked_for_first():
    """The first pack alone would take the 0.125, and leave 0.007 missing on the second."""
    found = said(down={LF: "0.122 in", RF: "0.125 in"}, drawer={"0.125 in": 1, "0.118 in": 1})

    assert found[LF] == "From the drawer: 1 × 0.118 in, 0.004 in (0.10 mm) thinner than wanted."
    assert found[RF] == "From the drawer: 1 × 0.125 in."


def test_a_pack_that_comes_out_thinner_says_by_how_much():
    found = said(down={LF: "0.200 in"}, drawer={"3/16 in": 1, "1/32 in": 1})

    assert found[LF] == "From the drawer: 1 × 3/16 in, 0.013 in (0.32 mm) thinner than wanted."


def test_a_pack_that_cannot_be_made_up_says_by_how_much_it_falls_short():
    found = said(down={LF: "1/4 in"}, drawer={"1/16 in": 2})

    assert found[LF] == (
        "The drawer cannot make up 1/4 in (6.35 mm): the nearest is 1/8 in (3.17 mm), "
        "too thin by 1/8 in (3.17 mm)."
    )


def test_one_pack_that_cannot_be_made_up_does_not_keep_the_others_from_theirs():
    found = said(down={LF: "1/4 in", RF: "1/16 in"}, drawer={"1/16 in": 2})

    assert found[LF].startswith("The drawer cannot make up 1/4 in")
    assert found[RF] == "From the drawer: 1 × 1/16 in."


def test_packs_that_can_each_be_made_up_but_not_together_say_so():
    found = said(down={LF: "1/16 in", RF: "1/16 in"}, drawer={"1/16 in": 1})

    assert set(found.values()) == {
        "Each pack can be made up alone, but the drawer holds too few shims for them all."
    }


def test_a_pack_that_is_made_up_draws_on_the_drawer_no_more():
    found = said(down={LF: "1/16 in", RF: "1/16 in"}, later={LF: "1/16 in"}, drawer={"1/16 in": 1})

    assert found == {RF: "From the drawer: 1 × 1/16 in."}


def test_an_empty_drawer_is_said_to_be_empty_and_no_shims_need_no_drawer():
    assert said(down={LF: "1/16 in"}, drawer={"1/16 in": 0}) == {LF: "The drawer is empty."}
    assert said(down={LF: "0 in"}, drawer={"1/16 in": 4}) == {}
    assert said(drawer={"1/16 in": 4}) == {}


@pytest.mark.parametrize("wanted_in", [(5 / 32, 3 / 16), (0.203, 0.19, 0.08), (0.1, 0.1, 0.06, 0.15)])
def test_no_other_choice_of_shims_comes_nearer(wanted_in):
    """Against every choice there is, counted through: a check of the search from outside it."""
    stock = {1 / 32 * INCH_m: 3, 1 / 16 * INCH_m: 3, 1 / 8 * INCH_m: 2}
    wanted_m = tuple(one * INCH_m for one in wanted_in)

    packs = make_up(wanted_m, stock, tolerance_m=1 / 64 * INCH_m, alike_m=ALIKE_m)

    assert _steps(packs) == _least_steps(wanted_m, stock, tolerance_m=1 / 64 * INCH_m)


def _steps(packs: tuple[Pack, ...]) -> int:
    return sum(int(round(abs(pack.error_m) * 1e9) // round(ALIKE_m * 1e9)) for pack in packs)


def _least_steps(wanted_m, stock, *, tolerance_m):
    """The least sum of errors, in steps of what counts as alike, over every way to share the drawer out."""
    thicknesses, counts = list(stock), list(stock.values())
    choices = list(product(*(range(count + 1) for count in counts)))
    reached = {tuple(counts): 0}
    for wanted in wanted_m:
        after = {}
        for left, steps in reached.items():
            for taken in choices:
                error = abs(sum(n * t for n, t in zip(taken, thicknesses, strict=True)) - wanted)
                if error > tolerance_m or any(n > have for n, have in zip(taken, left, strict=True)):
                    continue
                rest = tuple(have - n for n, have in zip(taken, left, strict=True))
                cost = steps + int(round(error * 1e9) // round(ALIKE_m * 1e9))
                after[rest] = min(after.get(rest, cost), cost)
        reached = after
    return min(reached.values())
