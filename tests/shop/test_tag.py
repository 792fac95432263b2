import pytest
from sqlmodel import select

from server.shop import tag as rule
from server.shop.decision import decide, to_decide
from server.shop.refusal import Missing, Refusal
from server.shop.tag import find_tag, moves_of_job, tags_of_job, why_it_stays
from server.shop.tag_list import tag_lines
from server.store.tables import Shop, TagMove


@pytest.fixture
def here(at):
    """The tie rod is off, the bench is about to decide."""
    return at("inspect", "bench")


def seen(here, part, place="LF"):
    tags = tags_of_job(here.db, here.job.id, here.front_end)
    return next(one for one in tags if (one.tag.part, one.tag.place) == (part, place))


def line(here, part):
    return next(one for one in tag_lines(here.db, here.job, here.front_end) if one.seen.tag.part == part)


def decided(here, part, verdict):
    bench = here.step("inspect", "bench")
    if bench.state == "to do":
        here.start(bench)
    open_one = next(one for one in to_decide(here.db, bench, here.front_end) if one.part.id == part)
    decide(
        here.db,
        bench,
        open_one.part,
        client_id=here.client_id(),
        verdict=verdict,
        reason="boot torn",
        evidence=here.photograph(bench),
        by=here.crew.technician,
        now=here.now,
        supersedes=open_one.decision,
    )


def shelve(here, part, shelf):
    tag, by = seen(here, part).tag, here.crew.apprentice
    rule.shelve(here.db, tag, client_id=here.client_id(), shelf=shelf, by=by, now=here.now)


def discard(here, part):
    person, one = here.crew.technician, seen(here, part)
    rule.discard(here.db, one, here.front_end, client_id=here.client_id(), by=person, now=here.now)


# Hung by the steps themselves


def test_what_comes_off_is_numbered_in_its_order_with_a_bag_for_its_fasteners(here):
    tags = tags_of_job(here.db, here.job.id, here.front_end)

    assert [one.tag.number for one in tags] == list(range(1, len(tags) + 1))
    rod, bag = (one for one in tags if one.step.operation == "tie-rod")
    assert (rod.tag.part, rod.name, rod.tag.state) == ("tie-rod", "Tie-rod assembly", "out")
    assert (bag.tag.part, bag.name) == (rule.BAG, "Fasteners: Tie-rod assembly")


def test_the_tags_of_some_steps_are_those_that_hang_there(here):
    step = here.step("tie-rod", "down")

    tags = tags_of_job(here.db, here.job.id, here.front_end, step_ids=[step.id])

    assert [one.tag.part for one in tags] == ["tie-rod", rule.BAG]
    assert [one.step for one in tags] == [step, step]


def test_no_two_tags_lead_to_the_same_place_and_none_can_be_guessed_from_another(here):
    codes = [tag.code for tag in here.tags("out")]

    assert len(set(codes)) == len(codes)
    assert {len(code) for code in codes} == {12}  # 72 random bits


def test_a_step_started_again_hangs_no_second_set(here):
    down, before = here.step("tie-rod", "down"), len(here.tags("out"))

    rule.hang(here.db, down, here.rung(down), here.front_end, by=here.crew.technician, now=here.now)

    assert len(here.tags("out")) == before


# Found again


def test_a_code_leads_to_its_tag_but_not_from_another_shop(here):
    tag = here.tags("out")[0]
    assert find_tag(here.db, tag.code, shop_id=here.job.shop_id) == tag

    other = Shop(name="Elsewhere", created_at=here.now)
    here.db.add(other)
    here.db.flush()
    with pytest.raises(Missing):
        find_tag(here.db, tag.code, shop_id=other.id)


@pytest.mark.parametrize("code", ["", "nothing-such", "' OR 1=1 --", "%", "_"])
def test_what_is_no_code_leads_nowhere(here, code):
    with pytest.raises(Missing):
        find_tag(here.db, code, shop_id=here.job.shop_id)


# Where it lies


def test_where_a_part_lies_is_kept_with_who_put_it_there_and_where_it_was_before(here):
    shelve(here, "tie-rod", "Shelf 3, left")
    shelve(here, "tie-rod", "  Parts   washer ")

    assert seen(here, "tie-rod").tag.shelf == "Parts washer"
    assert [(one.words, one.by) for one in line(here, "tie-rod").moves] == [
        ("Put on: Parts washer", "Pip"),
        ("Put on: Shelf 3, left", "Pip"),
        ("Tag hung", "Tom"),
    ]


@pytest.mark.parametrize(
    "shelf",
    ["", "   ", "x" * 81, "a\u202eb", "\u200b\u200b", "e" + "\u0301" * 10_000, "e" + "\u0301" * 5, "a\0b"],
)
def test_a_place_that_cannot_be_read_is_refused_and_changes_nothing(here, shelf):
    shelve(here, "tie-rod", "Shelf 3")

    with pytest.raises(Refusal) as refused:
        shelve(here, "tie-rod", shelf)

    assert refused.value.field == "shelf"
    assert seen(here, "tie-rod").tag.shelf == "Shelf 3"


def test_what_is_back_on_the_car_lies_nowhere(at):
    here = at("compressor", "up")
    refitted = here.tags("refitted")[0]

    with pytest.raises(Refusal):
        rule.shelve(
            here.db, refitted, client_id=here.client_id(), shelf="Shelf 3", by=here.crew.second, now=here.now
        )


# Thrown away, or not


def test_a_part_nobody_decided_to_renew_is_not_thrown_away(here):
    decided(here, "knuckle", "reuse")

    with pytest.raises(Refusal, match="Nobody has decided to renew"):
        discard(here, "knuckle")


def test_a_bag_of_fasteners_is_never_thrown_away(here):
    with pytest.raises(Refusal):
        discard(here, rule.BAG)


def test_a_renewed_part_is_thrown_away_once_and_by_name(here):
    decided(here, "shock", "renew")

    discard(here, "shock")

    assert seen(here, "shock").tag.state == "discarded"
    last = line(here, "shock").moves[0]
    assert (last.words, last.by) == ("Discarded", "Tom")
    with pytest.raises(Refusal, match="discarded already"):
        discard(here, "shock")


def test_the_old_tie_rod_is_kept_until_the_new_one_is_set_from_it(at):
    here = at("preset", "bench")
    renew(here)

    with pytest.raises(Refusal, match="still to be set from it"):
        discard(here, "tie-rod")
    assert line(here, "tie-rod").is_kept
    assert seen(here, "tie-rod").tag.state == "out"


@pytest.mark.parametrize("state", ["in hand", "on hold"])
def test_a_preset_that_is_only_begun_does_not_free_the_old_tie_rod(at, state):
    here = at("preset", "bench")
    renew(here)
    here.step("preset", "bench").state = state

    with pytest.raises(Refusal, match="still to be set from it"):
        discard(here, "tie-rod")


def test_the_old_tie_rod_may_go_once_its_preset_is_recorded(at):
    here = at("joint-nuts", "up")  # the preset is done
    assert here.step("preset", "bench").state == "done"
    renew(here)

    assert line(here, "tie-rod").may_be_discarded
    discard(here, "tie-rod")

    assert seen(here, "tie-rod").tag.state == "discarded"


def renew(here):
    """Somebody thinks better of reusing the tie rod."""
    decided(here, "tie-rod", "renew")


# Back on the car


def test_finishing_a_step_going_up_puts_its_tags_back_and_reopening_takes_them_off_again(at):
    here = at("shock", "up")
    up = here.step("shock", "up")
    tag = seen(here, "shock").tag
    here.start(up)
    for fastener in ("shock-bottom-bolt", "shock-top-nut"):
        here.pull(up, fastener)

    here.finish(up)
    assert tag.state == "refitted"
    here.reopen(up)

    assert tag.state == "out"
    assert [one.words for one in line(here, "shock").moves] == [
        "Off the car again",
        "Back on the car",
        "Tag hung",
    ]


def test_a_line_says_in_which_step_a_part_goes_back_unless_it_is_renewed(here):
    assert line(here, "shock").goes_back == here.step("shock", "up")

    decided(here, "shock", "renew")

    assert line(here, "shock").goes_back is None


def test_a_bag_goes_back_with_the_step_that_puts_its_part_on(here):
    nuts = next(
        one
        for one in tag_lines(here.db, here.job, here.front_end)
        if one.seen.step.operation == "knuckle" and one.seen.tag.part == rule.BAG
    )

    assert nuts.goes_back == here.step("knuckle", "up")


def test_moves_are_told_tag_by_tag(here):
    shelve(here, "shock", "Shelf 1")
    shelve(here, "knuckle", "Shelf 2")

    moves = moves_of_job(here.db, here.job.id)

    assert [move.shelf for move, _ in moves[seen(here, "shock").tag.id]] == ["Shelf 1"]
    assert [move.shelf for move, _ in moves[seen(here, "knuckle").tag.id]] == ["Shelf 2"]
    assert len(here.db.exec(select(TagMove)).all()) == 2


def test_a_tag_that_may_go_has_no_reason_to_stay(here):
    one = seen(here, "shock")
    assert why_it_stays(one, is_still_needed=False).startswith("Nobody has decided")

    decided(here, "shock", "renew")

    assert why_it_stays(seen(here, "shock"), is_still_needed=False) == ""
