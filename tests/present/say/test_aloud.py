"""What is spoken when: urgency, breaking off, repeats, by hand and over a whole climb."""

from dataclasses import replace
from itertools import pairwise

import pytest
from tests.live.advice import ADVICE, RELEASE

from farglide.outlook.advice import Advice, Level
from farglide.outlook.freshness import Freshness
from farglide.present.say.aloud import Said, Speech, said_next, utterances
from farglide.present.say.spokenafter import MOST_SPOKEN
from farglide.present.say.text import FlightClock
from farglide.present.say.utterance import AGAIN_S

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")


def told(stream: list[Advice], is_typing: bool = False) -> list[tuple[float, Said]]:
    """Return what is begun at which moment of a stream."""
    speech, found = Speech(), []
    for advice in stream:
        speech, said = said_next(speech, advice, CLOCK, is_typing)
        if said is not None:
            found.append((advice.after_launch_s, said))
    return found


def at(after_launch_s: float, **changes: object) -> Advice:
    return replace(ADVICE, after_launch_s=after_launch_s, **changes)  # type: ignore[arg-type]


def test_the_same_is_said_once_until_it_changes() -> None:
    found = told([at(3600.0 + k) for k in range(120)])
    assert [said.words for _, said in found] == [
        "Wait. Window opens at 23.2 kilometres, about 09:08."
    ]
    opened = told([at(4000.0 + k) for k in range(200)])
    assert [(t_s, said.words.split()[0]) for t_s, said in opened] == [
        (4000.0, "Wait."), (4060.0, "Release"), (4120.0, "Window"),
    ]  # fmt: skip


def test_the_count_is_said_at_ten_five_two_minutes_and_one() -> None:
    by_s = RELEASE.release_by_after_launch_s
    found = told([at(by_s - 700.0 + k) for k in range(700)])
    counts = [(by_s - t_s, said.words) for t_s, said in found if "within" in said.words]
    assert [words for _, words in counts] == [
        "Release within ten minutes.", "Release within five minutes.",
        "Release within two minutes.", "Release within one minute.",
    ]  # fmt: skip
    for (left_s, _), minutes in zip(counts, (10, 5, 2, 1), strict=True):
        assert 60.0 * minutes - 15.0 < left_s <= 60.0 * minutes


def test_now_breaks_off_what_is_said_and_is_said_again_while_it_stands() -> None:
    stream = [at(4120.0), at(4121.0, level=Level.NOW)]
    stream += [at(4121.0 + k, level=Level.NOW) for k in range(1, 60)]
    found = told(stream)
    assert [(t_s, said.breaks_off) for t_s, said in found] == [
        (4120.0, False), (4121.0, True), (4141.0, False), (4161.0, False),
    ]  # fmt: skip
    assert found[1][1].words == "Release now, for Home strip."


def test_news_wait_for_what_is_more_urgent_and_are_said_as_they_are_by_then() -> None:
    news = "Release by 09:20, 3 min later"
    stream = [at(3600.0, changed=news), at(3601.0, changed=news), at(3605.0, changed="Gone")]
    assert [said.words for _, said in told(stream)][1:] == ["Gone."]
    long = "one two three four five six seven eight nine ten"
    assert not [one for one in utterances(at(3600.0, changed=long), CLOCK) if "ten" in one.words]


def test_an_old_fix_is_told_once_and_an_unknown_place_again_every_two_minutes() -> None:
    old = replace(ADVICE.place, seen_after_launch_s=3300.0, most_within_m=4000.0)
    stream = [at(3620.0 + k, place=old, data=Freshness.UNKNOWN) for k in range(300)]
    found = [(t_s, one.words) for t_s, one in told(stream) if one.words.startswith("No pos")]
    assert found[0][1] == "No position for 5 min. Ring 4.0 kilometres."
    gaps = [later - before for (before, _), (later, _) in pairwise(found)]
    assert gaps == [pytest.approx(120.0, abs=5.0)] * 2
    guessed = [at(3400.0 + k, place=old, data=Freshness.GUESSED) for k in range(200)]
    assert sum(one.words.startswith("No pos") for _, one in told(guessed)) == 1


def test_while_somebody_types_only_what_is_urgent_is_said() -> None:
    stream = [at(3600.0), at(3601.0, level=Level.NOW)]
    assert [said.words for _, said in told(stream, is_typing=True)] == [
        "Release now, for Home strip."
    ]


def test_what_was_otherwise_in_between_is_said_again() -> None:
    stream = [at(3600.0), at(3700.0, release=None), at(3800.0)]
    assert [said.words.split()[0] for _, said in told(stream)] == ["Wait.", "No", "Wait."]


def test_without_a_release_nothing_is_counted() -> None:
    assert [one.words for one in utterances(at(4630.0, release=None), CLOCK)] == [
        "No good height ahead. Best now: Far meadow."
    ]


def test_all_is_short_and_none_repeats_too_soon() -> None:
    levels = (Level.QUIET, Level.WATCH, Level.DECIDE, Level.NOW)
    stream = [
        at(4000.0 + k, level=levels[(k // 7) % 4], changed="Home shut" if k % 50 < 9 else "")
        for k in range(900)
    ]
    found = told(stream)
    assert all(len(said.words.split()) <= MOST_SPOKEN for _, said in found)
    last: dict[str, float] = {}
    for t_s, said in found:
        assert t_s - last.get(said.words, -1e9) >= AGAIN_S
        last[said.words] = t_s
