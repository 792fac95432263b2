"""The rows of the catalogue of bad inputs that concern torque and measurement text are named A1 to A28."""

import time
from math import radians

import pytest

from server.shop import spec as rule
from server.shop.capture import NeedsConfirming
from server.shop.refusal import Conflict, Forbidden, Missing, Refusal
from server.shop.spec import line_of, lines_for, read_range, sheet, write_line, written
from server.store.tables import Vehicle
from tests.shop.conftest import NOW, library, take_in

# Exact by definition: 1 lbf·ft = 4.4482216152605 N × 0.3048 m, 1 lbf·in a twelfth of it, 1 in = 25.4 mm.
LBF_FT_Nm = 4.4482216152605 * 0.3048
INCH_m = 0.0254

FRONT_END = library()["coil-on-lower-arm"]
WHEEL, HEIGHT, CAMBER, TOE = "torque.wheel-nut", "ride-height", "camber", "toe.total"


def read(text, key=WHEEL, system="inch"):
    return read_range(text, line_of(FRONT_END, key), system=system)


@pytest.mark.parametrize(
    ("text", "key", "low", "high"),
    [
        ("75 lbf·ft", WHEEL, 75 * LBF_FT_Nm, 75 * LBF_FT_Nm),  # A14, as the next three
        ("75 ft-lb", WHEEL, 75 * LBF_FT_Nm, 75 * LBF_FT_Nm),
        ("75 ft.lbs", WHEEL, 75 * LBF_FT_Nm, 75 * LBF_FT_Nm),
        ("75 lb ft", WHEEL, 75 * LBF_FT_Nm, 75 * LBF_FT_Nm),
        ("60 to 75 lbf·ft", WHEEL, 60 * LBF_FT_Nm, 75 * LBF_FT_Nm),
        ("60-75 lbf·ft", WHEEL, 60 * LBF_FT_Nm, 75 * LBF_FT_Nm),
        ("60–75", WHEEL, 60 * LBF_FT_Nm, 75 * LBF_FT_Nm),
        ("80 N·m to 100", WHEEL, 80, 100),
        ("70 ± 5 lbf·ft", WHEEL, 65 * LBF_FT_Nm, 75 * LBF_FT_Nm),
        ("  95 Nm ", WHEEL, 95, 95),
        ('12 5/8"', HEIGHT, 12.625 * INCH_m, 12.625 * INCH_m),  # A1, as the next three
        ("12-5/8 in", HEIGHT, 12.625 * INCH_m, 12.625 * INCH_m),
        ("12 5/8 in", HEIGHT, 12.625 * INCH_m, 12.625 * INCH_m),
        ("12⅝ in", HEIGHT, 12.625 * INCH_m, 12.625 * INCH_m),
        ("12-5/8", HEIGHT, 12.625 * INCH_m, 12.625 * INCH_m),  # A2: the field's unit, which is shown
        ("320,7 mm", HEIGHT, 0.3207, 0.3207),  # A8
        ("320.7 mm", HEIGHT, 0.3207, 0.3207),
        ("−0.5°", CAMBER, radians(-0.5), radians(-0.5)),  # A12: U+2212
        ("0.5° ± 0.5°", CAMBER, 0, radians(1)),
        ("-1 to -0.5°", CAMBER, radians(-1), radians(-0.5)),
        ("1°30'", CAMBER, radians(1.5), radians(1.5)),  # A25, as the next two
        ("1,5 deg", CAMBER, radians(1.5), radians(1.5)),
        ("90'", CAMBER, radians(1.5), radians(1.5)),
        ("1/16 in toe-in", TOE, INCH_m / 16, INCH_m / 16),
        ("1/16 to 1/8 in toe-in", TOE, INCH_m / 16, INCH_m / 8),
        ("1/8 in to 1/4 in toe-in", TOE, INCH_m / 8, INCH_m / 4),
        ("1/16 in toe-out to 1/16 in toe-in", TOE, -INCH_m / 16, INCH_m / 16),
        ("18 tpi", "tie-rod.pitch", INCH_m / 18, INCH_m / 18),
        ("18 threads per inch", "tie-rod.pitch", INCH_m / 18, INCH_m / 18),
        ("1/8 in toe-out ± 1/16", TOE, -3 / 16 * INCH_m, -INCH_m / 16),
        ("0 ± 1/16", TOE, -INCH_m / 16, INCH_m / 16),
    ],
)
def test_a_line_is_read_as_the_trade_types_it(text, key, low, high):
    said = read(text, key)

    assert (said.low, said.high) == (pytest.approx(low, abs=1e-9), pytest.approx(high, abs=1e-9))
    assert said.doubt is None


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("13.1/4", HEIGHT),  # A3, as the next four
        ("13 - 1/4", HEIGHT),
        ("13/1/4", HEIGHT),
        ("1/4/2", HEIGHT),
        ("13 5/4", HEIGHT),
        ("1/0", HEIGHT),  # A4, as the next two
        ("0/0", HEIGHT),
        ("13 1/0", HEIGHT),
        ("NaN", WHEEL),  # A5, as the next two
        ("inf", WHEEL),
        ("-Infinity", WHEEL),
        ("1e309", WHEEL),  # A6, as the next two
        ("1e-400", WHEEL),
        ("1e10000000", WHEEL),
        ("1_000", WHEEL),  # A7, as the next two
        ("1 000", WHEEL),
        ("1'000", WHEEL),
        ("1.234,5", WHEEL),  # A10, as the next two
        ("1,234.5", WHEEL),
        ("1,2,3", WHEEL),
        ("٣٣٦٫٥", HEIGHT),  # A11, as the next two
        ("३३६", HEIGHT),
        ("３３６．５", HEIGHT),
        ("-5 mm", HEIGHT),  # A12
        ("5 ± 10 mm", HEIGHT),
        ("5 Nm", HEIGHT),  # A13, as the next two
        ("5 mm", WHEEL),
        ("5 lb", WHEEL),
        ("0", WHEEL),  # A16, as the next two
        ("0 to 75 lbf·ft", WHEEL),
        ("5 ± 5 lbf·ft", WHEEL),
        ("", WHEEL),  # A18, as the next six
        ("   ", WHEEL),
        ("-", WHEEL),
        ("n/a", WHEEL),
        ("?", WHEEL),
        ("same", WHEEL),
        ("ok", WHEEL),
        ("320.7 mm 5", HEIGHT),  # A19, as the next three
        ("320.7 or 321 mm", HEIGHT),
        ("~320 mm", HEIGHT),
        (">320 mm", HEIGHT),
        ("7\u200b5 Nm", WHEEL),  # A20, as the next four
        ("\u202e75 Nm", WHEEL),
        ("75\u00a0Nm", WHEEL),
        ("75\tNm", WHEEL),
        ("60\nto 75 Nm", WHEEL),
        ("1" * 400, WHEEL),  # A21, as the next three
        ("1" * 1_000_000, WHEEL),
        ("0" * 4301 + "1", WHEEL),
        (" " * 60_000 + "to 75", WHEEL),
        ("=1+1", WHEEL),  # A23, as the next four
        ("5; DROP TABLE capture", WHEEL),
        ("5<!--", WHEEL),
        ("${7*7}", WHEEL),
        ("{{7*7}}", WHEEL),
        ("1°75'", CAMBER),  # A25
        ("1/16", TOE),  # A26
        ("1/16 in", TOE),
        ("0.2° toe-in", TOE),
        ("75 to 60 lbf·ft", WHEEL),
        ("60 to 75 to 80 lbf·ft", WHEEL),
        ("to", WHEEL),
        ("60 to", WHEEL),
        ("± 5", WHEEL),
    ],
)
def test_what_cannot_be_read_is_refused_in_words_beside_its_field(text, key):
    begun = time.perf_counter()

    with pytest.raises(Refusal) as refused:
        read(text, key)

    assert refused.value.field == "text"
    assert refused.value.sentence.rstrip().endswith((".", "?"))
    assert time.perf_counter() - begun < 0.1


@pytest.mark.parametrize(
    ("text", "key", "word"),
    [
        ("1,234 mm", HEIGHT, "decimal comma"),  # A9
        ("1.234 mm", HEIGHT, "outside"),  # A9
        ("75 in-lb", WHEEL, "75 lbf·ft would fit"),  # A15
        ("7500 Nm", WHEEL, "outside"),  # A17
        ("32070 mm", HEIGHT, "outside"),  # A17
        ("60 to 7500 Nm", WHEEL, "outside"),
        ("14°", CAMBER, "outside"),
    ],
)
def test_a_figure_hard_to_believe_says_why(text, key, word):
    assert word in read(text, key).doubt


def test_a_figure_without_a_unit_is_meant_in_the_shops_own():
    assert read("80").low == pytest.approx(80 * LBF_FT_Nm)
    assert read("80", system="metric").low == pytest.approx(80)


def test_every_line_has_a_band_that_its_own_unit_can_say():
    for line in lines_for(FRONT_END):
        low, high = line.plausible
        assert low < high, line.key


def test_there_is_a_torque_line_for_every_fastener_and_they_come_first():
    keys = [line.key for line in lines_for(FRONT_END)]

    torques = [one.torque for one in FRONT_END.fasteners]
    assert keys[: len(torques)] == torques
    assert len(keys) == len(set(keys))


def test_a_key_that_no_line_has_is_missing():
    with pytest.raises(Missing):
        line_of(FRONT_END, "torque.flux-capacitor")


@pytest.fixture
def car(store, crew):
    """A car whose torques are all written."""
    job = take_in(store, crew, scopes=["shocks"])
    with store.reading() as db:
        return db.get_one(Vehicle, job.vehicle_id)


def say(db, car, crew, key=HEIGHT, **said):
    usual = {"text": "14 in", "source": "Manual p. 9", "generic": False, "client_id": "a" * 20}
    said = usual | {"by": crew.technician} | said
    return write_line(db, car, line_of(FRONT_END, key), now=NOW, **said)


def test_a_line_keeps_what_was_typed_who_wrote_it_and_where_it_comes_from(store, car, crew):
    with store.writing() as db:
        say(db, car, crew, text=" 14 1/4 in ", source="  Manual,  p. 9 ")

    with store.reading() as db:
        [one] = written(db, car.id)[HEIGHT]
    assert (one.spec.text, one.spec.source, one.by) == ("14 1/4 in", "Manual, p. 9", "Tom")
    assert one.spec.low == one.spec.high == pytest.approx(14.25 * INCH_m)


@pytest.mark.parametrize("source", ["", "   ", "\u200b\u200b", "x" * 201])
def test_a_line_without_a_source_one_can_read_is_refused(store, car, crew, source):
    with pytest.raises(Refusal) as refused, store.writing() as db:
        say(db, car, crew, source=source)

    assert refused.value.field == "source"
    with store.reading() as db:
        assert HEIGHT not in sheet(db, car.id)


def test_what_is_hard_to_believe_is_written_once_it_is_confirmed(store, car, crew):
    with pytest.raises(NeedsConfirming), store.writing() as db:
        say(db, car, crew, text="1400 in")
    with store.writing() as db:
        say(db, car, crew, text="1400 in", confirmed=True)

    with store.reading() as db:
        assert sheet(db, car.id)[HEIGHT].low == pytest.approx(1400 * INCH_m)


def test_a_correction_needs_a_reason_and_leaves_the_old_line_readable(store, car, crew):
    with store.reading() as db:
        before = sheet(db, car.id)[WHEEL]

    with pytest.raises(Refusal) as refused, store.writing() as db:  # A28
        say(db, car, crew, WHEEL, text="90 lbf·ft", supersedes=before, client_id="b" * 20)
    with store.writing() as db:
        say(db, car, crew, WHEEL, text="90 lbf·ft", supersedes=before, reason="misread", client_id="c" * 20)

    assert refused.value.field == "reason"
    with store.reading() as db:
        now, then = written(db, car.id)[WHEEL]
    assert (now.spec.text, now.spec.reason, now.by) == ("90 lbf·ft", "misread", "Tom")
    assert (then.spec.id, then.spec.text, then.by) == (before.id, "60 to 75 lbf·ft", "Ilse")


def test_an_apprentice_does_not_take_generic_off_a_line(store, car, crew):
    with store.writing() as db:
        before = sheet(db, car.id)[WHEEL]
        generic = say(
            db, car, crew, WHEEL, text="70 lbf·ft", generic=True, supersedes=before, reason="no manual"
        )
    own = {"text": "80 lbf·ft", "supersedes": generic, "reason": "found it", "client_id": "c" * 20}

    with pytest.raises(Forbidden), store.writing() as db:
        say(db, car, crew, WHEEL, by=crew.apprentice, **own)
    with store.writing() as db:
        assert not say(db, car, crew, WHEEL, **own).generic


def test_a_line_that_was_written_meanwhile_is_not_written_over(store, car, crew):
    with pytest.raises(Conflict), store.writing() as db:
        say(db, car, crew, WHEEL, text="90 lbf·ft")


def test_what_has_been_corrected_already_is_not_corrected_again(store, car, crew):
    with store.writing() as db:
        before = sheet(db, car.id)[WHEEL]
        say(db, car, crew, WHEEL, text="90 lbf·ft", supersedes=before, reason="misread")

    with pytest.raises(Conflict), store.writing() as db:  # A28
        say(db, car, crew, WHEEL, text="95 lbf·ft", supersedes=before, reason="again", client_id="d" * 20)


def test_a_metric_shop_reads_bare_figures_as_metric(store, car, crew):
    with store.writing() as db:
        db.get_one(type(crew.shop), crew.shop.id).system = "metric"
        spec = say(db, car, crew, text="350")

    assert spec.low == pytest.approx(0.350)


def test_spring_lines_are_read_as_rates():
    assert read("350 lbf/in", "spring.rate").low == pytest.approx(350 * 4.4482216152605 / 0.0254)
    assert rule.line_of(FRONT_END, "spring.rate").quantity == "spring rate"
