"""The moment of a launch, and what to write where it is said in another form."""

from datetime import UTC, datetime

import pytest

from farglide.errors import Problem
from farglide.flightfile.reading.reader import Reader
from farglide.flightfile.sections.moment import LAUNCH_AT, launch_moment

NAIVE = datetime.fromisoformat("2027-07-01T09:30:00")


def read(value: object, zone: str = "") -> tuple[datetime | None, str]:
    problems: list[Problem] = []
    table = {} if value is None else {"launch_at": value}
    moment = launch_moment(Reader("[flight]", table, problems), zone)
    return moment, " ".join(map(str, problems))


def test_a_moment_with_its_offset_is_taken() -> None:
    noon = datetime(2027, 7, 1, 12, tzinfo=UTC)
    assert read(noon) == (noon, "")


@pytest.mark.parametrize(
    ("value", "zone", "told"),
    [
        (None, "", f"is missing. {LAUNCH_AT}"),
        (7, "", LAUNCH_AT),
        ("2027-07-01 09:30", "", LAUNCH_AT),
        ("2027-07-01T09:30Z", "", "without quotes: launch_at = 2027-07-01T09:30:00+00:00"),
        (NAIVE, "", "Add Z for UTC or the offset of your clock"),
        (NAIVE, "Nowhere", "Add Z for UTC or the offset of your clock"),
        (NAIVE, "UTC-03:00", "In UTC-03:00 that is launch_at = 2027-07-01T09:30:00-03:00"),
        (datetime(1912, 7, 1, tzinfo=UTC), "", "allowed: the years 1980 to 2099"),
    ],
)
def test_another_form_is_refused_with_what_to_write(value: object, zone: str, told: str) -> None:
    moment, problem = read(value, zone)
    assert moment is None
    assert told in problem
