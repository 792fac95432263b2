import pytest
from sqlmodel import select

from server.shop import spec
from server.store.tables import Hold, Job, TorqueRecord, Vehicle, Verification
from tests.web.next_door import phone_next_door
from tests.web.phone import PARTIAL, PEOPLE

NUT = "outer-tie-rod-nut"


@pytest.fixture(scope="module")
def prepared(shop_at_step):
    return shop_at_step(["tie-rods"], "tie-rod", "up")


@pytest.fixture
def tie_rod(work):
    found = [one for one in work.steps() if (one.operation, one.direction) == ("tie-rod", "up")]
    return next(one for one in found if one.state == "to do")


def records(work, step, act="torque"):
    made = select(TorqueRecord).where(TorqueRecord.step_id == step.id, TorqueRecord.act == act)
    with work.store.reading() as db:
        return list(db.exec(made.order_by(TorqueRecord.id)))


def verifications(work, record):
    with work.store.reading() as db:
        return list(db.exec(select(Verification).where(Verification.record_id == record.id)))


def pull(phone, step, text="68", **form):
    return phone.fill_in(
        f"/steps/{step.id}/torques", **({"fastener": NUT, "text": text, "paint": "yes"} | form)
    )


def pulled(phone, work, step):
    """One torque, recorded with its cotter pin by whoever holds that phone."""
    assert pull(phone, step).status_code == 303
    record = records(work, step)[-1]
    phone.fill_in(f"/steps/{step.id}/pins", fastener=NUT)
    return record


def verify(phone, step, record, **form):
    return phone.fill_in(f"/steps/{step.id}/torques/{record.id}/verification", **form)


def correct(phone, step, record, text="70", reason="read the wrong scale", **form):
    path = f"/steps/{step.id}/torques/{record.id}/correction"
    return phone.fill_in(path, text=text, reason=reason, **form)


def by_name(people, name):
    return {"person": str(people[name].id), "pin": PEOPLE[name][1]}


# Pulling


def test_a_torque_is_kept_as_typed_with_the_wrench_and_shown_in_both_systems(bo, people, work, tie_rod):
    answer = pull(bo, tie_rod, "68 ft-lb", wrench="No. 3", setting="60 to 75 lbf·ft")

    assert (answer.status_code, answer.headers["location"]) == (303, f"/steps/{tie_rod.id}")
    [kept] = records(work, tie_rod)
    assert (kept.text, kept.wrench, kept.setting) == ("68 ft-lb", "No. 3", "60 to 75 lbf·ft")
    assert kept.value == pytest.approx(68 * 1.3558179483)  # NIST SP 811 (2008), appendix B.8
    assert kept.person_id == people["Bo Berg"].id
    page = bo.get(f"/steps/{tie_rod.id}").text
    assert "68 lbf·ft" in page
    assert "92.2 N·m" in page
    assert "typed 68 ft-lb" in page
    assert "stripe painted" in page


def test_a_pull_takes_the_step_in_hand(bo, work, tie_rod):
    pull(bo, tie_rod)

    assert next(one for one in work.steps() if one.id == tie_rod.id).state == "in hand"


def test_the_page_says_what_to_set_and_never_to_back_off(bo, tie_rod):
    page = bo.get(f"/steps/{tie_rod.id}").text

    assert '<dd class="pull__setting">60 lbf·ft <span class="pull__other">81.3 N·m</span></dd>' in page
    assert "never past 75 lbf·ft (102 N·m)" in page
    assert "Never back off." in page
    assert "Maker&#39;s manual p. 3-12" in page or "Maker's manual p. 3-12" in page


def test_htmx_gets_the_tightening_and_what_depends_on_it(bo, tie_rod):
    answer = pull(bo, tie_rod, headers=PARTIAL)

    assert answer.status_code == 200
    assert f'id="tightening-{NUT}-torque"' in answer.text
    assert 'hx-target="#dock"' in answer.text
    assert "<html" not in answer.text


@pytest.mark.parametrize("headers", [{}, PARTIAL])
@pytest.mark.parametrize(
    ("form", "field", "sentence"),
    [
        ({"text": ""}, "text", "There is no figure in it"),
        ({"text": "tight"}, "text", "does not start with a figure"),
        ({"text": "5 mm"}, "text", "is the unit of a length"),
        ({"text": "5 lb"}, "text", "is the unit of a force or a mass"),
        ({"text": "75 in-lb"}, "text", "8.47 N·m"),
        ({"text": "7500 Nm"}, "text", "7500"),
        ({"paint": ""}, "paint", "Paint the stripe across nut and thread, then tick it."),
    ],
)
def test_what_is_refused_is_said_beside_its_field_and_stays_typed(
    bo, work, tie_rod, headers, form, field, sentence
):
    said = {"text": "68", "wrench": "No. 3 & long"} | form

    answer = pull(bo, tie_rod, headers=headers, **said)

    assert answer.status_code == 422
    assert sentence in answer.text
    assert answer.text.count('aria-invalid="true"') == 1
    wrong = answer.text[: answer.text.index('aria-invalid="true"')].rindex("<")
    assert f'id="{field}-{NUT}-torque"' in answer.text[wrong:].split(">")[0]
    assert f'value="{said["text"]}"' in answer.text
    assert 'value="No. 3 &amp; long"' in answer.text
    assert ("<html" in answer.text) is not bool(headers)
    assert records(work, tie_rod) == []


@pytest.mark.parametrize("headers", [{}, PARTIAL])
def test_a_pull_outside_the_window_is_kept_only_when_confirmed_and_waits_for_a_foreman(
    ann, bo, work, tie_rod, headers
):
    first = pull(bo, tie_rod, "90", headers=headers)
    assert first.status_code == 422
    assert 'name="confirmed"' in first.text
    assert records(work, tie_rod) == []

    assert pull(bo, tie_rod, "90", confirmed="yes", headers=headers).status_code == (200 if headers else 303)

    assert records(work, tie_rod)[0].confirmed
    assert "Waits for a foreman, in their own name" in bo.get(f"/steps/{tie_rod.id}").text
    with work.store.reading() as db:
        hold = db.exec(select(Hold).where(Hold.step_id == tie_rod.id)).one()
    confirmation = f"/steps/{tie_rod.id}/holds/{hold.id}/confirmation"
    assert bo.fill_in(confirmation).status_code == 403
    assert ann.fill_in(confirmation).status_code == 303
    assert "Hold point" not in bo.get(f"/steps/{tie_rod.id}").text


def test_an_everyday_pull_asks_for_no_confirmation(bo, tie_rod):
    assert 'name="confirmed"' not in bo.get(f"/steps/{tie_rod.id}").text


def test_a_torque_that_is_not_the_makers_waits_for_a_foreman(app, bo, people, work, tie_rod):
    front_end = app.state.front_ends["coil-on-lower-arm"]
    with work.store.writing() as db:
        car = db.get_one(Vehicle, db.get_one(Job, work.job_id).vehicle_id)
        line = spec.line_of(front_end, f"torque.{NUT}")
        spec.write_line(
            db,
            car,
            line,
            client_id="spec-generic-00001",
            text="60 to 75 lbf·ft",
            source="Table by grade and size",
            generic=True,
            by=people["Ann Adler"],
            now=work.now,
            supersedes=spec.sheet(db, car.id)[line.key],
            reason="no manual",
        )
    assert "(generic)" in bo.get(f"/steps/{tie_rod.id}").text

    pull(bo, tie_rod)

    assert "is generic, not the maker" in bo.get(f"/steps/{tie_rod.id}").text


def test_what_is_recorded_already_is_not_recorded_again_and_says_so(bo, cy, work, tie_rod):
    pull(bo, tie_rod)

    answer = pull(cy, tie_rod, "69")

    assert answer.status_code == 409
    assert "The outer tie-rod nut has been recorded already." in answer.text
    assert "You typed: 69" in answer.text
    assert len(records(work, tie_rod)) == 1


def test_the_same_sending_twice_is_one_record_and_another_figure_is_refused(bo, work, tie_rod):
    for _ in range(2):
        assert pull(bo, tie_rod, client_id="phone-made-id-0001").status_code == 303

    assert pull(bo, tie_rod, "70", client_id="phone-made-id-0001").status_code == 409
    assert len(records(work, tie_rod)) == 1


@pytest.mark.parametrize("fastener", ["wheel-nut", "no-such", "", "x" * 500])
def test_what_the_step_does_not_tighten_is_not_there(bo, work, tie_rod, fastener):
    for act in ("torques", "pins"):
        form = {"text": "68", "paint": "yes"} if act == "torques" else {}
        answer = bo.fill_in(f"/steps/{tie_rod.id}/{act}", fastener=fastener, **form)
        assert answer.status_code == 404
        assert "This step does not tighten that. Load the page again." in answer.text

    assert records(work, tie_rod) == []


# Pins


def test_a_pin_goes_in_after_the_torque(bo, work, tie_rod):
    path = f"/steps/{tie_rod.id}/pins"
    early = bo.fill_in(path, fastener=NUT)
    assert early.status_code == 422
    assert "Record the torque of the outer tie-rod nut first." in early.text

    pull(bo, tie_rod)

    assert bo.fill_in(path, fastener=NUT).status_code == 303
    assert "new, ends bent" in bo.get(f"/steps/{tie_rod.id}").text
    again = bo.fill_in(path, fastener=NUT, headers=PARTIAL)
    assert again.status_code == 409
    assert "has been recorded" in again.text


@pytest.mark.parametrize("headers", [{}, PARTIAL])
def test_the_second_person_looks_once_the_pin_is_in(bo, cy, people, work, tie_rod, headers):
    pull(bo, tie_rod)
    [record] = records(work, tie_rod)

    for answer in (
        verify(cy, tie_rod, record, headers=headers),
        verify(bo, tie_rod, record, headers=headers, **by_name(people, "Cy Castle")),
    ):
        assert answer.status_code == 422
        assert "The cotter pin comes first: the second person looks at it too." in answer.text
    assert verifications(work, record) == []


# Corrections


def test_a_corrected_torque_stays_readable_and_wants_verifying_again(bo, cy, work, tie_rod):
    first = pulled(bo, work, tie_rod)
    verify(cy, tie_rod, first)
    assert "Verified by Cy Castle" in bo.get(f"/steps/{tie_rod.id}").text

    assert correct(bo, tie_rod, first).status_code == 303

    page = bo.get(f"/steps/{tie_rod.id}").text
    assert "<s>68</s>" in page
    assert "read the wrong scale" in page
    assert "Verified by" not in page
    assert verify(cy, tie_rod, records(work, tie_rod)[-1]).status_code == 303


@pytest.mark.parametrize("headers", [{}, PARTIAL])
@pytest.mark.parametrize(
    ("form", "field"),
    [({"reason": " "}, "reason-t"), ({"text": "tight"}, "again-"), ({"text": "90"}, "again-")],
)
def test_a_correction_that_is_refused_stays_typed(bo, work, tie_rod, headers, form, field):
    record = pulled(bo, work, tie_rod)
    said = {"text": "70 ", "reason": "wrong scale"} | form

    answer = correct(bo, tie_rod, record, headers=headers, **said)

    assert answer.status_code == 422
    assert answer.text.count('aria-invalid="true"') == 1
    wrong = answer.text[: answer.text.index('aria-invalid="true"')].rindex("<")
    assert f'id="{field}{record.id}"' in answer.text[wrong:].split(">")[0]
    for typed in said.values():
        assert f'value="{typed}"' in answer.text
    assert ('name="confirmed"' in answer.text) is (said["text"] == "90")
    assert len(records(work, tie_rod)) == 1


def test_what_has_been_corrected_meanwhile_is_not_corrected_again(bo, cy, work, tie_rod):
    record = pulled(bo, work, tie_rod)
    correct(bo, tie_rod, record)

    answer = correct(cy, tie_rod, record, "71")

    assert answer.status_code == 409
    assert "This record has been corrected already." in answer.text
    assert "You typed: 71" in answer.text


def test_a_pin_has_no_figure_to_correct(bo, work, tie_rod):
    pull(bo, tie_rod)
    bo.fill_in(f"/steps/{tie_rod.id}/pins", fastener=NUT)

    assert correct(bo, tie_rod, records(work, tie_rod, "cotter")[-1]).status_code == 404


@pytest.mark.parametrize("how", ["released_at", "parked_at"])
def test_no_torque_is_recorded_or_corrected_on_a_job_that_is_released_or_parked(bo, work, tie_rod, how):
    record = pulled(bo, work, tie_rod)
    with work.store.writing() as db:
        setattr(db.get_one(Job, work.job_id), how, work.now)

    for answer in (
        pull(bo, tie_rod, fastener="inner-tie-rod-nut"),
        correct(bo, tie_rod, record),
        bo.fill_in(f"/steps/{tie_rod.id}/pins", fastener=NUT),
    ):
        assert answer.status_code == 422
        assert "This job" in answer.text
    assert records(work, tie_rod) == [record]


# The second person


def test_a_second_technician_verifies_on_their_own_phone(bo, cy, people, work, tie_rod):
    record = pulled(bo, work, tie_rod)
    assert "You verify as <strong>Cy Castle</strong>" in cy.get(f"/steps/{tie_rod.id}").text

    assert verify(cy, tie_rod, record).status_code == 303

    [seen] = verifications(work, record)
    assert seen.person_id == people["Cy Castle"].id
    assert "Verified by Cy Castle" in bo.get(f"/steps/{tie_rod.id}").text


@pytest.mark.parametrize("headers", [{}, PARTIAL])
def test_a_second_person_verifies_on_the_pullers_phone_with_their_own_pin(bo, people, work, tie_rod, headers):
    record = pulled(bo, work, tie_rod)

    answer = verify(bo, tie_rod, record, headers=headers, **by_name(people, "Cy Castle"))

    assert answer.status_code == (200 if headers else 303)
    [seen] = verifications(work, record)
    assert seen.person_id == people["Cy Castle"].id
    assert PEOPLE["Cy Castle"][1] not in answer.text
    assert "Bo Berg" in bo.get("/me").text


def test_the_pullers_phone_offers_whoever_may_verify_and_nobody_else(bo, work, tie_rod):
    pulled(bo, work, tie_rod)

    page = bo.get(f"/steps/{tie_rod.id}").text
    offered = page[page.index("Who verifies") : page.index("Their PIN")]

    assert [name for name in PEOPLE if name in offered] == ["Ann Adler", "Cy Castle"]


@pytest.mark.parametrize("headers", [{}, PARTIAL])
def test_a_wrong_pin_verifies_nothing_and_is_said_beside_its_field(bo, people, work, tie_rod, headers):
    record = pulled(bo, work, tie_rod)
    said = by_name(people, "Cy Castle") | {"pin": PEOPLE["Bo Berg"][1]}

    answer = verify(bo, tie_rod, record, headers=headers, **said)

    assert answer.status_code == 422
    assert "That name and PIN do not belong together." in answer.text
    assert answer.text.count('aria-invalid="true"') == 1
    assert f'value="{people["Cy Castle"].id}" selected' in answer.text
    assert said["pin"] not in answer.text
    assert verifications(work, record) == []


@pytest.mark.parametrize("pin", ["", "12345", "1234567", "١٢٣٤٥٦", "12345x"])
def test_a_pin_that_is_none_is_refused_in_words(bo, people, work, tie_rod, pin):
    record = pulled(bo, work, tie_rod)

    answer = verify(bo, tie_rod, record, **(by_name(people, "Cy Castle") | {"pin": pin}))

    assert answer.status_code == 422
    assert "A PIN is six digits" in answer.text
    assert verifications(work, record) == []


def test_guessing_a_second_persons_pin_has_to_wait(bo, people, work, tie_rod):
    record = pulled(bo, work, tie_rod)
    wrong = by_name(people, "Cy Castle") | {"pin": "000001"}
    for _ in range(3):
        assert verify(bo, tie_rod, record, **wrong).status_code == 422

    answer = verify(bo, tie_rod, record, **by_name(people, "Cy Castle"))

    assert answer.status_code == 429
    assert "Too many wrong PINs." in answer.text
    assert verifications(work, record) == []


@pytest.mark.parametrize("name", ["", "Bo Berg"])
def test_nobody_verifies_their_own_pull(bo, people, work, tie_rod, name):
    record = pulled(bo, work, tie_rod)

    answer = verify(bo, tie_rod, record, **(by_name(people, name) if name else {}))

    assert answer.status_code == 403
    assert "The second person is somebody else than the one who pulled the wrench." in answer.text
    assert verifications(work, record) == []


def test_an_apprentice_is_no_second_person_on_any_phone(bo, dee, people, work, tie_rod):
    record = pulled(bo, work, tie_rod)

    for answer in (verify(dee, tie_rod, record), verify(bo, tie_rod, record, **by_name(people, "Dee Dunn"))):
        assert answer.status_code == 403
        assert "A technician or a foreman verifies a torque." in answer.text
    assert verifications(work, record) == []


def test_an_apprentices_pull_is_verified_on_the_apprentices_phone(dee, people, work, tie_rod):
    record = pulled(dee, work, tie_rod)

    assert verify(dee, tie_rod, record, **by_name(people, "Bo Berg")).status_code == 303
    assert verifications(work, record)[0].person_id == people["Bo Berg"].id


def test_who_has_left_verifies_nothing(bo, people, work, tie_rod):
    record = pulled(bo, work, tie_rod)
    with work.store.writing() as db:
        db.merge(people["Cy Castle"]).left_at = work.now

    assert verify(bo, tie_rod, record, **by_name(people, "Cy Castle")).status_code == 422
    assert verifications(work, record) == []


@pytest.mark.parametrize(("person", "status"), [("999999", 404), ("x", 422), ("-1", 422), ("9" * 10, 422)])
def test_a_second_person_is_one_of_the_shop(bo, work, tie_rod, person, status):
    record = pulled(bo, work, tie_rod)

    assert verify(bo, tie_rod, record, person=person, pin="123456").status_code == status
    assert verifications(work, record) == []


def test_what_is_verified_or_corrected_meanwhile_is_not_verified_again(ann, bo, cy, work, tie_rod):
    record = pulled(bo, work, tie_rod)
    verify(cy, tie_rod, record)

    again = verify(ann, tie_rod, record)
    assert again.status_code == 409
    assert "This has been verified already." in again.text

    correct(bo, tie_rod, record)
    stale = verify(ann, tie_rod, record, headers=PARTIAL)
    assert stale.status_code == 409
    assert "This record has been corrected meanwhile." in stale.text


def test_a_record_belongs_to_its_step(cy, bo, work, tie_rod):
    record = pulled(bo, work, tie_rod)
    other = next(one for one in work.steps() if one.operation == "wheel-nuts" and one.direction == "up")

    for answer in (verify(cy, other, record), correct(cy, other, record)):
        assert answer.status_code == 404
        assert "There is no such torque at this step." in answer.text


# The wrench


def settings(phone, step, fastener=NUT, headers=None, **adapter):
    return phone.get(f"/steps/{step.id}/settings/{fastener}", params=adapter, headers=headers)


@pytest.mark.parametrize("headers", [{}, PARTIAL])
def test_with_an_adapter_the_setting_is_worked_out(bo, tie_rod, headers):
    answer = settings(bo, tie_rod, handle="16", reach="2", angle="0°", headers=headers)

    assert answer.status_code == 200
    assert "53.3 lbf·ft" in answer.text  # 60, times 16 over 16 and 2
    assert "with the adapter on" in answer.text
    assert 'name="setting" value="53.3 lbf·ft, adapter 16 + 2"' in answer.text
    assert 'value="16"' in answer.text
    assert ("<html" in answer.text) is not bool(headers)


@pytest.mark.parametrize(
    ("adapter", "field"),
    [
        ({"handle": "long", "reach": "2"}, "handle"),
        ({"handle": "16", "reach": "short"}, "reach"),
        ({"handle": "16", "reach": "-16"}, "reach"),
        ({"handle": "16", "reach": "2", "angle": "askew"}, "angle"),
    ],
)
def test_a_length_that_cannot_be_read_is_said_beside_its_field_and_no_setting_is_made_up(
    bo, tie_rod, adapter, field
):
    answer = settings(bo, tie_rod, headers=PARTIAL, **adapter)

    wrong = answer.text[: answer.text.index('aria-invalid="true"')].rindex("<")
    assert f'id="{field}-{NUT}-torque"' in answer.text[wrong:].split(">")[0]
    assert 'name="setting" value=""' in answer.text
    for typed in adapter.values():
        assert f'value="{typed}"' in answer.text


def test_an_adapter_belongs_to_one_fastener(bo, tie_rod):
    page = settings(bo, tie_rod, handle="16", reach="2").text

    assert page.count('name="setting" value="53.3 lbf·ft, adapter') == 1
    assert page.count('name="setting" value="60 lbf·ft"') == 1


@pytest.mark.parametrize("fastener", ["wheel-nut", "no-such", "%00"])
def test_the_setting_of_what_is_not_tightened_here_is_no_failure(bo, tie_rod, fastener):
    assert settings(bo, tie_rod, fastener=fastener, handle="16", reach="2").status_code in (200, 404)


def test_without_a_line_on_the_spec_sheet_nothing_can_be_pulled_and_the_way_there_is_shown(bo, work, tie_rod):
    with work.store.writing() as db:
        car_id = db.get_one(Job, work.job_id).vehicle_id
        other = Vehicle(**db.get_one(Vehicle, car_id).model_dump(exclude={"id", "plate"}), plate="NO SHEET")
        db.add(other)
        db.flush()
        db.get_one(Job, work.job_id).vehicle_id = other.id

    page = bo.get(f"/steps/{tie_rod.id}").text
    assert "The spec sheet has no torque for the outer tie-rod nut. Write it there first." in page
    assert f'href="/vehicles/{other.id}/spec?job={work.job_id}"' in page

    answer = pull(bo, tie_rod)
    assert answer.status_code == 422
    assert records(work, tie_rod) == []


# Who may


def test_nobody_of_the_shop_next_door_records_verifies_or_sees_a_torque(app, clock, bo, work, tie_rod):
    record = pulled(bo, work, tie_rod)
    fay = phone_next_door(app, clock)

    for answer in (
        pull(fay, tie_rod, fastener="inner-tie-rod-nut"),
        fay.fill_in(f"/steps/{tie_rod.id}/pins", fastener=NUT),
        correct(fay, tie_rod, record),
        verify(fay, tie_rod, record),
        settings(fay, tie_rod),
    ):
        assert answer.status_code == 404
    assert records(work, tie_rod) == [record]
    assert verifications(work, record) == []


def test_nobody_signed_out_records_or_verifies_a_torque(bo, phone, people, work, tie_rod):
    record = pulled(bo, work, tie_rod)
    phone.open_form("/sign-in")

    for answer in (
        pull(phone, tie_rod, fastener="inner-tie-rod-nut"),
        verify(phone, tie_rod, record, **by_name(people, "Cy Castle")),
        settings(phone, tie_rod),
    ):
        assert answer.status_code == 303
        assert answer.headers["location"].startswith("/sign-in")
    assert records(work, tie_rod) == [record]
    assert verifications(work, record) == []
