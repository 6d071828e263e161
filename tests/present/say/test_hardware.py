"""Words on warmth and single failures: every branch, within the width of a terminal."""

from dataclasses import replace

import pytest

from farglide.outlook.faults import (
    CellHeat,
    Failures,
    PartFailure,
    PhaseHand,
    TransmitterHeat,
    TriggerRecord,
)
from farglide.outlook.outlook import Outlook
from farglide.present.say.hardware import (
    CELL_CARE,
    WARMTH,
    ending_words,
    failure_lines,
    hands_words,
    heat_part,
    mend_words,
)
from farglide.present.say.text import FlightClock

from ...reading import answer_lines

HOT = TransmitterHeat(
    link="picture",
    at_launch_k=333.15,
    at_release_k=360.0,
    hottest_k=363.15,
    hottest_after_launch_s=66 * 60.0,
    hottest_amsl_m=24_000.0,
    limit_k=358.15,
    over_limit=((58 * 60.0, 72 * 60.0),),
)
COLD = CellHeat(
    pack="all",
    coldest_k=249.7,
    coldest_after_launch_s=159 * 60.0,
    coldest_amsl_m=9_500.0,
    left_ratio=0.763,
)
CABLE = PartFailure(
    part="feed cable",
    at="ground",
    links=("picture",),
    purposes=("picture",),
    ends_release=False,
    swap_s=240.0,
    fails_in_3h_ratio=0.02,
    both_fail_in_3h_ratio=0.0004,
)
HANDS = (
    PhaseHand(phase="climb", from_after_launch_s=0.0, in_hand_s=4900.0, until="late"),
    PhaseHand(phase="window", from_after_launch_s=4300.0, in_hand_s=540.0, until="late"),
    PhaseHand(phase="glide", from_after_launch_s=4450.0, in_hand_s=120.0, until="the door shuts"),
)
TRIGGER = TriggerRecord(trigger="command", n_tests=20, n_failures=0, fails_ratio=0.139)
FOUND = Failures(
    parts=(CABLE,), hands=HANDS, triggers=(TRIGGER,), shared_by_triggers=(), none_releases_ratio=0.1
)


def clock(outlook: Outlook) -> FlightClock:
    return FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)


def _heat(outlook: Outlook) -> list[str]:
    return ["".join(fact) for fact in heat_part(outlook, clock(outlook)).facts]


def told(found: Failures | None) -> str:
    lines = failure_lines(found)
    assert max(map(len, lines)) <= 100
    return " ".join(" ".join(lines).split())


def test_a_transmitter_over_its_limit_is_warned_of(outlook: Outlook) -> None:
    (words, how) = _heat(replace(outlook, transmitters=(HOT,)))
    assert words.startswith(
        "picture transmitter near 90 °C at 24.0 km about T+66, over its 85 °C 17:38–17:52 "
        "(T+58 to 72): it may fall silent and come back when it cools"
    )
    assert how == WARMTH


def test_a_transmitter_within_its_limit_or_without_one(outlook: Outlook) -> None:
    calm = replace(HOT, over_limit=(), hottest_k=350.0)
    words = _heat(replace(outlook, transmitters=(calm,)))[0]
    assert words == (
        "picture transmitter 60 °C at the launch, 87 °C at the release; hottest 77 °C at 24.0 km, "
        "T+66; trusted up to 85 °C"
    )
    free = replace(calm, limit_k=None)
    words = _heat(replace(outlook, transmitters=(free,)))[0]
    assert words.endswith("no limit is stated (limit_celsius)")


def test_cells_come_with_their_care(outlook: Outlook) -> None:
    words, _, care = _heat(replace(outlook, cells=(COLD,)))
    assert words == (
        "all: cells down to −23 °C at 19:19 (T+159, 12:19 UTC), 9.5 km; over the flight the cold "
        "leaves 76 % of its energy"
    )
    assert care == CELL_CARE
    assert _heat(outlook) == []


def test_the_answer_holds_the_block_only_where_there_is_something(outlook: Outlook) -> None:
    assert "Heat and cold" not in answer_lines(outlook)
    lines = answer_lines(replace(outlook, transmitters=(HOT,), cells=(COLD,)))
    assert "Heat and cold" in lines
    assert max(map(len, lines)) <= 100


def test_a_part_is_told_with_swap_and_odds() -> None:
    words = told(FOUND)
    assert (
        "feed cable: picture ends; it is on the ground, and a swap takes 4 min: too long after the "
        "release; the chance that it fails in 3 h is 1 in 20, that both of two do under 1 in 50"
    ) in words
    bound = "so the chance that it fails is 2 in 10 at most, with a confidence of 19 in 20"
    assert f"release by command: 0 of 20 failed, {bound}" in words
    assert "%" not in words
    assert "there is one trigger only: when it fails, nothing releases before the burst" in words
    assert "shares nothing with the first" in words


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {"swap_s": 60.0},
            "it is on the ground, and a swap takes 60 s: there is time enough throughout",
        ),
        (
            {"swap_s": 600.0},
            "it is on the ground, and a swap takes 10 min: too long when the window begins "
            "and after the release",
        ),
        ({"swap_s": None}, "it is on the ground; how long a swap takes is not known"),
        ({"at": "aboard"}, "it is aboard, so it cannot be fixed after the launch"),
    ],
)
def test_whether_it_can_be_mended(changes: dict[str, object], words: str) -> None:
    assert mend_words(replace(CABLE, **changes), HANDS) == words  # type: ignore[arg-type]


def test_with_no_time_known_only_the_swap_is_told() -> None:
    unknown = (replace(HANDS[0], in_hand_s=None, until="none is worth a release"),)
    assert mend_words(CABLE, unknown) == "it is on the ground, and a swap takes 4 min"
    assert hands_words(unknown) == (
        "time to fix a loss that comes at the launch: not known (none is worth a release)"
    )


def test_endings_in_words() -> None:
    both = replace(CABLE, links=("picture", "command"), ends_release=True)
    assert ending_words(both) == "picture and command end, nothing releases"
    spare = replace(CABLE, purposes=())
    assert ending_words(spare) == "picture ends, others of their kind are left"
    assert ending_words(replace(CABLE, links=(), ends_release=True)) == "nothing releases"


def test_parts_that_nobody_described_stand_together() -> None:
    bare = replace(CABLE, at=None, fails_in_3h_ratio=None, both_fail_in_3h_ratio=None)
    parts = (CABLE, bare, replace(bare, part="dish"), replace(bare, part="pin", links=("command",)))
    words = told(replace(FOUND, parts=parts))
    assert (
        "feed cable, dish: picture ends pin: command ends for parts that are not in [[parts]]"
        in words
    )
    no_odds = replace(CABLE, fails_in_3h_ratio=None, both_fail_in_3h_ratio=None)
    assert "no chance of failing is stated, so what a second one buys is not known" in told(
        replace(FOUND, parts=(no_odds,))
    )


def test_two_triggers_and_what_they_share() -> None:
    two = (TRIGGER, replace(TRIGGER, trigger="detector", fails_ratio=None, n_tests=0))
    words = told(replace(FOUND, triggers=two, shared_by_triggers=("pack all",)))
    assert "release by detector: never tried, so its chance is not known" in words
    assert "each for its own reason: 1 in 10 at most (the bounds multiplied)" in words
    fails = "when that fails all fail, and no bound above covers it"
    assert f"all triggers need pack all: {fails}" in words
    words = told(
        replace(FOUND, triggers=two, shared_by_triggers=("a", "b"), none_releases_ratio=None)
    )
    assert "all triggers need a and b: when that fails all fail" in words
    assert "the bounds multiplied" not in words


def test_a_file_without_needs_is_told_what_to_write() -> None:
    assert "write needs = [...] into [[links]] and [[triggers]]" in told(None)
