"""What is spoken after the release: counts, turning back, where to steer, the last 300 m."""

from dataclasses import replace

import pytest
from tests.live.advice import AFTER, BARRIER

from farglide.outlook.advice import Advice
from farglide.outlook.after import AfterNow, Stage
from farglide.present.say.aloud import Speech, said_next, utterances
from farglide.present.say.spokenafter import MOST_SPOKEN
from farglide.present.say.text import FlightClock
from farglide.present.say.utterance import Urgency

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")


def told(stream: list[Advice], is_typing: bool = False) -> list[tuple[float, str]]:
    """Return what is begun at which moment of a stream."""
    speech, found = Speech(), []
    for advice in stream:
        speech, said = said_next(speech, advice, CLOCK, is_typing)
        if said is not None:
            found.append((advice.after_launch_s, said.words))
    return found


def stream(advice: Advice, n: int, step_s: float = 1.0) -> list[Advice]:
    first_s = advice.after_launch_s
    return [replace(advice, after_launch_s=first_s + k * step_s) for k in range(n)]


def with_after(advice: Advice, **changes: object) -> Advice:
    assert isinstance(advice.after, AfterNow)
    return replace(advice, after=replace(advice.after, **changes))  # type: ignore[arg-type]


@pytest.mark.parametrize("name", list(AFTER))
def test_every_sentence_is_short_at_every_stage(name: str) -> None:
    for one in stream(AFTER[name], 200, 10.0):
        for each in utterances(one, CLOCK):
            assert len(each.words.split()) <= MOST_SPOKEN, each.words
            assert each.words.endswith(".")


def test_where_to_steer_is_said_every_two_minutes_whatever_the_track() -> None:
    quiet = with_after(AFTER["gliding"], barrier=None, links=())
    assert quiet.after is not None
    assert quiet.after.steer is not None
    found = []
    for k, one in enumerate(stream(quiet, 240)):
        steer = replace(quiet.after.steer, track_deg=312.0 + 0.2 * k)
        found.append(with_after(one, steer=steer))
    assert told(found) == [
        (4800.0, "Steer for Home strip, track 312°."),
        (4920.0, "Steer for Home strip, track 336°."),
    ]
    other = with_after(quiet, steer=replace(quiet.after.steer, field="Far meadow"))
    turned = replace(other, after_launch_s=4830.0)
    assert told([*stream(quiet, 30), turned])[-1] == (4830.0, "Steer for Far meadow, track 312°.")


def test_turning_back_breaks_off_all_else_and_the_last_seconds_are_counted() -> None:
    low = with_after(AFTER["gliding"], barrier=replace(BARRIER, edge_amsl_m=9000.0), links=())
    found = told(stream(low, 60))
    turns = [t_s for t_s, words in found if words == "Turn back now, for Far meadow."]
    assert turns == [4810.0, 4830.0, 4850.0]  # 4930 is the last moment
    high = with_after(AFTER["gliding"], links=())
    counts = [(t_s, words) for t_s, words in told(stream(high, 130)) if "turn back" in words]
    assert counts == [
        (4810.0, "Last 120 seconds to turn back."),
        (4870.0, "Last 60 seconds to turn back."),
        (4900.0, "Last 30 seconds to turn back."),
    ]


def test_with_all_tied_on_the_seconds_run_down_while_the_release_is_sent() -> None:
    one = replace(AFTER["tied on"], after_launch_s=5700.0)  # home is shut at 5772
    found = told(stream(one, 72))
    assert found[0][1].startswith("Send release, keep sending.")
    counts = [words for _, words in found if words.startswith("Home strip:")]
    assert counts == [
        "Home strip: 60 seconds.", "Home strip: 40 seconds.", "Home strip: 30 seconds.",
        "Home strip: 20 seconds.", "Home strip: 10 seconds.",
    ]  # fmt: skip
    assert all(one.urgency is Urgency.NOW for one in utterances(one, CLOCK)
               if not one.key.startswith(("age", "changed")))  # fmt: skip


def test_a_field_that_closes_is_counted_unless_somebody_steers() -> None:
    one = with_after(AFTER["gliding"], barrier=None, links=())
    found = told(stream(replace(one, after_launch_s=5640.0), 130))
    assert [words for _, words in found if "shuts" in words] == [
        "Home strip shuts in two minutes unless steered.",
        "Home strip shuts in one minute unless steered.",
    ]


def test_the_last_300_metres_are_said_once() -> None:
    low = AFTER["low"]
    down = [replace(one, place=replace(low.place, amsl_m=600.0 - 2.0 * k))
            for k, one in enumerate(stream(low, 100))]  # fmt: skip
    found = [(t_s, words) for t_s, words in told(down) if words.startswith("Last 300")]
    assert [words for _, words in found] == ["Last 300 metres. Into wind, from 240°."]
    assert 4830.0 < found[0][0] < 4840.0  # 540 m are 300 over the field


def test_the_end_of_the_picture_is_said_a_minute_before() -> None:
    one = with_after(replace(AFTER["gliding"], after_launch_s=5235.0), barrier=None)
    found = told(stream(one, 30))
    assert (5240.0, "Picture ends within a minute. Set it straight.") in found


def test_while_somebody_types_only_what_is_urgent_is_said() -> None:
    assert told(stream(AFTER["gliding"], 60), is_typing=True) == []
    tied = told(stream(AFTER["tied on"], 5), is_typing=True)
    assert len(tied) == 1
    assert AFTER["tied on"].stage is Stage.TIED_ON
