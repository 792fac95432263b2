import pytest

from server.shop.receipt import once
from server.shop.refusal import Conflict, Refusal
from server.store.tables import Receipt

ID = "phone-made-id-01"


@pytest.fixture
def here(at):
    return at("intake", "down")


@pytest.fixture
def sent(here):
    """Sends one write; what was done with it stands in `sent.done`."""

    def send(*, client_id=ID, kind="note", by="technician", **content):
        def act():
            send.done.append(content)
            return f"/answers/{len(send.done)}"

        person = getattr(here.crew, by) if by else None
        return once(here.db, act, client_id=client_id, kind=kind, content=content, by=person, now=here.now)

    send.done = []
    return send


def test_what_is_sent_twice_is_done_once_and_answered_as_the_first_time(sent):
    assert sent(text="worn", place="LF") == "/answers/1"
    assert sent(place="LF", text="worn") == "/answers/1"
    assert len(sent.done) == 1


def test_a_receipt_says_what_was_recorded_by_whom_and_when(here, sent):
    sent(text="worn")

    kept = here.db.get_one(Receipt, ID)
    assert (kept.kind, kept.answer, kept.person_id) == ("note", "/answers/1", here.crew.technician.id)
    assert kept.at == here.now


def test_a_write_of_nobody_signed_in_is_recorded_once_too(here, sent):
    sent(by=None)
    sent(by=None)

    assert here.db.get_one(Receipt, ID).person_id is None
    assert len(sent.done) == 1


@pytest.mark.parametrize(
    "other", [{"text": "sound"}, {"text": "worn", "kind": "gap"}, {"text": "worn", "x": 1}]
)
def test_the_same_id_with_something_else_is_refused(sent, other):
    sent(text="worn")

    with pytest.raises(Conflict):
        sent(**other)

    assert sent.done == [{"text": "worn"}]


def test_another_id_is_another_write(sent):
    assert sent(text="worn") != sent(text="worn", client_id="phone-made-id-02")


@pytest.mark.parametrize("client_id", ["a" * 16, "Z9_-" * 16])
def test_ids_of_16_to_64_letters_digits_and_dashes_are_taken(sent, client_id):
    assert sent(client_id=client_id) == "/answers/1"


@pytest.mark.parametrize(
    "client_id", ["", "a" * 15, "a" * 65, "a" * 15 + " ", "a" * 16 + "\n", "é" * 16, "../" * 6]
)
def test_an_id_that_no_page_of_ours_makes_is_refused(sent, client_id):
    with pytest.raises(Refusal, match="lost track"):
        sent(client_id=client_id)

    assert sent.done == []


def test_what_was_refused_leaves_no_receipt_and_may_be_sent_again_put_right(here, sent):
    def refuse():
        raise Refusal("Say why.")

    with pytest.raises(Refusal):
        once(here.db, refuse, client_id=ID, kind="note", content={}, by=None, now=here.now)

    assert here.db.get(Receipt, ID) is None
    assert sent(text="worn") == "/answers/1"
