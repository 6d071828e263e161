"""A hand-over as it is typed: of when, by the clock of the flight, and of where."""

import math
import re
from dataclasses import replace
from datetime import datetime

import pytest

from farglide.errors import AnswerError
from farglide.track.handover.sentence import Common, HandedOver, spoken
from farglide.track.typed.handed import handed_of, handed_suspicion, nearest_t_s
from farglide.track.typed.known import Known, LastPlace

T_S = 1_800_702_000.0  # 18:00 at UTC+07:00
LAUNCH = LastPlace(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=T_S - 4800.0)
KNOWN = Known(t_s=T_S, zone="UTC+07:00", launch=LAUNCH, begun=LAUNCH)
EAST_KM = 111.195 * math.cos(math.radians(-46.5))


def words(at_t_s: float, east_km: float = 30.0) -> str:
    told = HandedOver(
        lat_deg=-46.5, lon_deg=108.0 + east_km / EAST_KM, amsl_m=12_400.0, at_t_s=at_t_s,
        phase="climbing",
    )  # fmt: skip
    return spoken(told, Common(-46.5, 108.0, -46.5, 108.0, at_t_s))


def test_it_is_told_by_the_clock_of_the_flight() -> None:
    told = handed_of(words(T_S - 600.0), KNOWN)
    assert (told.at_t_s, told.zone) == (T_S - 600.0, "UTC+07:00")


@pytest.mark.parametrize("age_s", [3600.0, 3 * 3600.0, 20 * 3600.0])
def test_a_clock_before_the_words_says_of_when_they_are(age_s: float) -> None:
    """Longer ago than the 42 min that words alone tell; the day is that nearest to the known."""
    at_t_s = T_S - 3600.0
    later = replace(KNOWN, t_s=at_t_s + min(age_s, 11 * 3600.0))
    assert handed_of(f"17:00 {words(at_t_s)}", later).at_t_s == at_t_s
    assert handed_of(f"17:00:20 {words(at_t_s)}", later).at_t_s == at_t_s


def test_words_of_another_time_than_the_clock_are_refused() -> None:
    with pytest.raises(AnswerError, match="These words are of 17:50, or 85 min before or after"):
        handed_of(f"17:30 {words(T_S - 600.0)}", KNOWN)
    with pytest.raises(AnswerError, match=r"18:10 is still to come. Type when it was said."):
        handed_of(f"18:10 {words(T_S + 600.0)}", KNOWN)
    with pytest.raises(AnswerError, match=r"That would be of 18:10, 10 min from now.*over 18:00"):
        handed_of(words(T_S + 600.0), KNOWN)


def test_where_nothing_tells_the_time_it_may_be_later() -> None:
    free = replace(KNOWN, ahead_s=math.inf)
    assert handed_of(words(T_S + 600.0), free).at_t_s == T_S + 600.0


def test_what_may_be_204_km_off_is_asked_back_with_where_else_it_may_be() -> None:
    """120 km east of the launch would read as 85 km west of it, which it cannot have come to."""
    late = replace(KNOWN, t_s=T_S - 2000.0)
    told = handed_of(words(late.t_s, 120.0), late)
    assert told.lon_deg < 108.0
    calm = replace(late, begun=replace(LAUNCH, t_s=late.t_s - 2100.0))
    asked = handed_suspicion(told, calm)
    assert asked is None  # 126 km can be, either way
    expected = LastPlace(lat_deg=-46.5, lon_deg=109.3, amsl_m=9000.0, t_s=late.t_s)
    told = handed_of(words(late.t_s, 120.0), replace(late, expected=expected))
    assert told.lon_deg == pytest.approx(108.0 + 120.0 / EAST_KM, abs=0.001)
    asked = handed_suspicion(told, replace(late, expected=None))
    assert asked is not None
    assert "120 km from where it was expected" in asked.why
    assert asked.typed is not None
    others = [one.entry for one in asked.alternatives]
    assert isinstance(others[0], HandedOver)
    assert others[0].lon_deg == pytest.approx(108.0 - 84.8 / EAST_KM, abs=0.001)


def test_without_a_launch_no_place_follows() -> None:
    with pytest.raises(AnswerError, match="Without a launch no place follows from a hand-over"):
        handed_of("a b c", Known(t_s=0.0))


@pytest.mark.parametrize(
    ("now", "typed", "ago_min"),
    [
        ("2026-10-25 03:10+01:00", "02:50", 20), ("2026-10-25 02:10+01:00", "02:50", 20),
        ("2026-10-25 00:10+02:00", "23:50", 20), ("2026-03-29 00:10+01:00", "23:50", 20),
        ("2026-10-26 00:10+01:00", "23:50", 20),
    ],
)  # fmt: skip
def test_a_clock_that_is_put_back_or_on_tells_the_nearest_moment(
    now: str, typed: str, ago_min: float
) -> None:
    t_s = datetime.fromisoformat(now).timestamp()
    known = replace(KNOWN, t_s=t_s, zone="Europe/Vienna")
    match = re.fullmatch(r"(\d+):(\d+)(?::(\d+))?", typed)
    assert match is not None
    assert nearest_t_s(match, known) == t_s - 60.0 * ago_min


def test_words_from_before_the_last_fix_tell_nothing_new() -> None:
    """They were held against where it is by now, as a sink of thousands of metres a second."""
    told = handed_of(words(T_S - 600.0), KNOWN)
    later = LastPlace(lat_deg=-46.5, lon_deg=108.5, amsl_m=15_000.0, t_s=T_S - 60.0)
    found = handed_suspicion(told, replace(KNOWN, last=later))
    assert found is not None
    assert found.why == "It is of 17:50, and a fix of 17:59 is known: it tells nothing new."
    assert found.typed is not None
