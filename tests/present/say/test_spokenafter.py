"""Spoken after the release: one sentence, nine words or fewer, whatever the flight is at."""

from dataclasses import replace

import pytest
from tests.live.advice import AFTER, STEER

from farglide.outlook.advice import Advice, Freshness, Level
from farglide.outlook.after import AfterNow, StoryName, StoryNow
from farglide.present.say.spokenafter import (
    MOST_SPOKEN,
    goes_past,
    is_high_enough,
    is_low,
    is_over,
    spoken_after,
    whole_tens,
)


def after_of(advice: Advice) -> AfterNow:
    assert advice.after is not None
    return advice.after


def said(advice: Advice) -> str:
    return spoken_after(advice, after_of(advice))


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("gliding", "Steer for Home strip, track 312°."),
        ("over", "Over Home strip. Circle down beside it."),
        ("low", "Land at Home strip, into wind from 240°."),
        ("dropped", "Hold still. Level in about 10 seconds."),
        ("tied on", "Send release, keep sending. Home strip: 970 seconds."),
        ("unsteered", "No data. Aim at 138°, 32 degrees up."),
        ("no field", "No field in reach. Choose open ground now."),
        ("down", "It should be down. Mark it, then go."),
    ],
)
def test_what_is_said(name: str, words: str) -> None:
    assert said(AFTER[name]) == words


def longer(advice: Advice) -> Advice:
    """Return an advice whose fields have names of many words."""
    long = "The old sheep farm of Upper Tansy Lea"
    after = after_of(advice)
    steer = None if after.steer is None else replace(after.steer, field=long)
    barrier = None if after.barrier is None else replace(after.barrier, behind=long)
    fields = tuple(replace(one, name=long) for one in advice.fields)
    return replace(advice, fields=fields, after=replace(after, steer=steer, barrier=barrier))


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize("name", list(AFTER))
def test_it_is_never_longer_than_nine_words(name: str, level: Level) -> None:
    for advice in (AFTER[name], longer(AFTER[name])):
        for t_s in (advice.after_launch_s, 4850.0, 4900.0, 4929.0, 4931.0):
            one = replace(advice, level=level, after_launch_s=t_s)
            assert 0 < len(said(one).split()) <= MOST_SPOKEN


def test_before_the_turning_back_ends_it_is_said() -> None:
    late = replace(AFTER["gliding"], after_launch_s=4870.0)
    assert said(late) == "Last 60 seconds to turn back."
    after = after_of(late)
    assert after.barrier is not None
    low = replace(after.barrier, edge_amsl_m=12_000.0)
    assert (
        said(replace(late, after=replace(after, barrier=low))) == "Turn back now, for Far meadow."
    )
    assert is_high_enough(after.barrier)
    assert not is_high_enough(low)
    assert not is_high_enough(replace(low, commit_amsl_m=None))


def test_links_that_fail_past_a_barrier_turn_it_back() -> None:
    late = replace(AFTER["gliding"], after_launch_s=4870.0)
    after = after_of(late)
    assert after.barrier is not None
    shut = replace(after.barrier, shut_by="links")
    assert goes_past(after.barrier)
    assert not goes_past(shut)
    assert said(replace(late, after=replace(after, barrier=shut))) == (
        "Turn back now, for Far meadow."
    )


@pytest.mark.parametrize(
    ("story", "words", "short"),
    [
        ("spiral", "It spirals down. Level it, steer for Home strip.",
         "It spirals down. Level it."),
        ("hands off", "Nobody seems to steer. Steer for Home strip.",
         "Nobody seems to steer. Take it."),
    ],
)  # fmt: skip
def test_what_is_heard_and_not_steered_is_taken_over(
    story: StoryName, words: str, short: str
) -> None:
    one = AFTER["unsteered"]
    after = replace(after_of(one), is_by_fall=True)
    stories = (StoryNow(story=story, chance_ratio=0.8),)
    seen = replace(one, data=Freshness.FRESH, stories=stories, after=after)
    assert said(seen) == words
    assert said(longer(seen)) == short
    assert said(replace(seen, after=replace(after, steer=None))) == short
    assert said(replace(seen, data=Freshness.UNKNOWN)).startswith("No data. Aim at")


@pytest.mark.parametrize("name", ["unsteered", "tied on", "dropped"])
def test_on_empty_packs_nothing_is_to_be_sent(name: str) -> None:
    one = AFTER[name]
    dead = replace(after_of(one), packs_empty=True)
    assert said(replace(one, after=dead)).startswith("Packs empty. Aim at ")
    bare = replace(one, after=replace(dead, aim=None))
    assert said(bare) == "Packs empty. Follow it where it comes down."


def test_a_spin_is_ended_first() -> None:
    one, stories = AFTER["unsteered"], (StoryNow(story="spin", chance_ratio=0.8),)
    after = replace(after_of(one), is_by_fall=True)
    seen = replace(one, data=Freshness.FRESH, stories=stories, after=after)
    assert said(seen) == "It spins. Neutral, then forward, count five."


def test_a_field_that_is_closing_is_said_at_once() -> None:
    now = replace(AFTER["gliding"], level=Level.NOW)
    assert said(now) == "Steer for Home strip now. It is closing."


def test_a_drop_that_nobody_marked_is_no_drop_to_wait_for() -> None:
    dropped = AFTER["dropped"]
    unmarked = replace(dropped, after=replace(after_of(dropped), is_marked=False))
    assert said(unmarked) == "It falls. Send the release. Mark what happened."
    assert unmarked.after is not None
    sent = replace(unmarked, after=replace(unmarked.after, is_sent=True))
    assert said(sent) == "It falls. Released? Type r. Burst? Type b."  # sent already


def test_all_fields_shut_the_release_is_still_sent() -> None:
    tied = AFTER["tied on"]
    shut = tuple(replace(one, state="shut") for one in tied.fields)
    assert said(replace(tied, fields=shut)) == "Send the release. Keep sending it."


def test_without_a_stand_nobody_is_told_where_to_aim() -> None:
    one = AFTER["unsteered"]
    assert said(replace(one, after=replace(after_of(one), aim=None))) == (
        "No picture. Aim where it was last."
    )


def test_over_and_low() -> None:
    assert is_over(replace(STEER, away_m=1900.0))
    assert not is_over(STEER)
    assert not is_over(replace(STEER, away_m=100.0, arrival_agl_m=None))
    assert is_low(AFTER["low"], after_of(AFTER["low"]))
    assert not is_low(AFTER["over"], after_of(AFTER["over"]))


def test_seconds_are_never_told_too_late() -> None:
    assert [whole_tens(one) for one in (146.0, 9.9, -5.0)] == [140, 0, 0]


def test_the_last_seconds_of_a_drop_are_not_counted() -> None:
    late = replace(AFTER["dropped"], after_launch_s=4649.0)
    assert said(late) == "Hold still. Level any moment."
