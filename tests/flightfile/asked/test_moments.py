"""A moment is read with its zone, or refused with what it lacks."""

import pytest

from farglide.errors import AnswerError
from farglide.flightfile.asked.moments import typed_moment


@pytest.mark.parametrize(
    ("said", "when"),
    [
        ("2027-06-15 09:30 +02:00", "2027-06-15T09:30:00+02:00"),
        ("2027-06-15T09:30:00+02:00", "2027-06-15T09:30:00+02:00"),
        ("2027-06-15 09:30 Z", "2027-06-15T09:30:00+00:00"),
        ("2027-06-15 09:30 UTC", "2027-06-15T09:30:00+00:00"),
        ("2027-06-15 09:30 +2", "2027-06-15T09:30:00+02:00"),
        ("2027-06-15 09:30 UTC-3:30", "2027-06-15T09:30:00-03:30"),
        ("2027-03-14 10:20 America/Argentina/Salta", "2027-03-14T10:20:00-03:00"),
        # just after the clocks of Vienna went forward, by the offset that held then
        ("2027-03-28 03:10 Europe/Vienna", "2027-03-28T03:10:00+02:00"),
    ],
)
def test_a_moment_with_its_zone(said: str, when: str) -> None:
    moment = typed_moment(said)["launch_at"]
    assert getattr(moment, "isoformat", str)() == when


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("tomorrow", "is no date with time and zone."),
        ("2027-13-01 1:00 Z", "is no date with time and zone."),
        ("2027-06-15 09:30", "has no zone: behind the time must stand how far its clock is from"),
        ("15.6.2027 09:30 Z", "begins with the day or the month: the year comes first."),
        ("6/15/2027 09:30 Z", "begins with the day or the month: the year comes first."),
    ],
)
def test_no_moment_is_refused_with_why_and_an_example(said: str, why: str) -> None:
    with pytest.raises(AnswerError) as caught:
        typed_moment(said)
    assert why in str(caught.value)
    assert "Type it like 2027-06-15 09:30 +02:00" in str(caught.value)
