from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from seed_demo.hours import Hours

HOURS = Hours()
FIRST = datetime(2025, 1, 1, tzinfo=UTC)
MOMENTS = st.integers(0, 1_500_000).map(lambda minutes: FIRST + timedelta(minutes=minutes))


def local(*when: int) -> datetime:
    return datetime(*when).astimezone().astimezone(UTC)


def test_at_night_the_last_working_moment_is_that_of_the_evening_before():
    assert HOURS.latest(local(2026, 3, 5, 3, 0)) == local(2026, 3, 4, 17, 0)


def test_on_a_sunday_it_is_that_of_friday():
    assert HOURS.latest(local(2026, 3, 8, 12, 0)) == local(2026, 3, 6, 17, 0)


def test_within_hours_it_is_now():
    assert HOURS.latest(local(2026, 3, 4, 9, 12)) == local(2026, 3, 4, 9, 12)


def test_lunch_is_no_work():
    assert HOURS.before(local(2026, 3, 4, 13, 0), 30) == local(2026, 3, 4, 11, 45)
    assert HOURS.after(local(2026, 3, 4, 11, 45), 30) == local(2026, 3, 4, 13, 0)


def test_work_goes_on_after_the_weekend():
    assert HOURS.after(local(2026, 3, 6, 16, 30), 60) == local(2026, 3, 9, 8, 0)


@given(MOMENTS, st.floats(min_value=0.5, max_value=5000))
def test_what_began_so_long_before_ends_then(when, minutes):
    end = HOURS.latest(when)

    begun = HOURS.before(end, minutes)

    assert begun < end
    assert abs(HOURS.after(begun, minutes) - end) < timedelta(milliseconds=1)


@given(MOMENTS, st.floats(min_value=0, max_value=5000))
def test_work_begins_and_ends_in_working_hours(when, minutes):
    end = HOURS.latest(when)

    assert HOURS.are_on(end)
    assert HOURS.are_on(HOURS.before(end, minutes))
    assert end <= when
