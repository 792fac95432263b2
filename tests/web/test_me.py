from collections.abc import Callable

from server.store.engine import Store
from server.store.tables import Person
from tests.web.phone import Phone


def test_a_pin_is_changed_with_the_old_one(bo: Phone, new_phone: Callable[..., Phone]) -> None:
    answer = bo.fill_in("/me/pin", old_pin="592604", pin="917364", pin_again="917364")

    assert answer.status_code == 303
    assert new_phone().sign_in("Bo Berg", "592604").status_code == 422
    assert new_phone(address="192.168.7.90").sign_in("Bo Berg", "917364").status_code == 303


def test_changing_ones_pin_signs_the_other_phones_out_but_not_this_one(
    bo: Phone, new_phone: Callable[..., Phone]
) -> None:
    other = new_phone(address="192.168.7.91")
    other.sign_in("Bo Berg", "592604")

    bo.fill_in("/me/pin", old_pin="592604", pin="917364", pin_again="917364")

    assert bo.get("/me").status_code == 200
    assert other.get("/me").headers["location"] == "/sign-in?next=%2Fme"


def test_a_wrong_old_pin_is_said_beside_its_field(bo: Phone) -> None:
    answer = bo.fill_in("/me/pin", old_pin="111111", pin="917364", pin_again="917364")

    assert answer.status_code == 422
    assert 'id="field-old_pin-error">That name and PIN do not belong together.' in answer.text


def test_everybody_may_switch_guided_mode_for_themselves(
    dee: Phone, store: Store, people: dict[str, Person]
) -> None:
    answer = dee.fill_in("/me/guided", guided="yes")

    assert answer.status_code == 303
    with store.reading() as db:
        assert db.get(Person, people["Dee Dunn"].id).guided  # type: ignore[union-attr]
