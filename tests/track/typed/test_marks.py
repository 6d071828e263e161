"""Marks: asked back where they contradict what was marked before, or where it was seen."""

from dataclasses import replace

import pytest

from farglide.track.typed.entries import Mark, MarkKind, Undo
from farglide.track.typed.known import AskedBack, Known, LastPlace, Understood
from farglide.track.typed.typed import typed

LAUNCH = LastPlace(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=1.8e9)
FLOWN = (MarkKind.LAUNCHED, MarkKind.RELEASED)


def known(amsl_m: float, age_s: float) -> Known:
    last = LastPlace(lat_deg=-46.6, lon_deg=108.1, amsl_m=amsl_m, t_s=1.8e9 + 5000.0 - age_s)
    return Known(t_s=1.8e9 + 5000.0, last=last, launch=LAUNCH, marks=FLOWN)


def test_what_was_seen_aloft_just_now_has_not_landed() -> None:
    asked = typed("landed", known(19_900.0, 8.0))
    assert isinstance(asked, AskedBack)
    assert asked.why == "It was 19.9 km up 8 s ago."
    assert asked.typed is not None  # and may be taken as typed


@pytest.mark.parametrize(("amsl_m", "age_s"), [(900.0, 8.0), (19_900.0, 600.0)])
def test_what_was_low_or_long_unseen_may_have(amsl_m: float, age_s: float) -> None:
    assert isinstance(typed("landed", known(amsl_m, age_s)), Understood)


def test_what_was_let_go_bursts_no_more_under_its_balloon() -> None:
    asked = typed("burst", known(19_900.0, 8.0))
    assert isinstance(asked, AskedBack)
    assert asked.why == "It is marked as released."


ALOFT = LastPlace(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=1.8e9)


@pytest.mark.parametrize("line", ["sent", "released", "burst"])
def test_a_launch_that_fixes_tell_needs_no_mark(line: str) -> None:
    seen = Known(t_s=1.8e9 + 4000.0, launch=LAUNCH, begun=ALOFT, is_launched=True)
    assert isinstance(typed(line, seen), Understood)


def test_a_launch_that_nobody_marked_is_asked_about_once() -> None:
    alone = Known(t_s=1.8e9 + 4000.0, launch=LAUNCH, begun=ALOFT, zone="UTC+07:00")
    asked = typed("sent", alone)
    assert isinstance(asked, AskedBack)
    assert asked.words == (
        "Nobody marked the launch: it counts as of 15:00. "
        "Did you mean release sent, launched 15:00?"
    )
    assert asked.alternatives[0].entry == Mark(kind=MarkKind.SENT)
    assert isinstance(typed("released", replace(alone, marks=(MarkKind.SENT,))), Understood)


def test_what_is_still_on_the_hand_is_not_let_go() -> None:
    early = Known(t_s=1.8e9 - 600.0, launch=LAUNCH, begun=ALOFT)
    asked = typed("released", early)
    assert isinstance(asked, AskedBack)
    assert asked.why == "The launch is still to come, at 08:00."


def test_what_was_let_go_is_not_launched_now() -> None:
    flown = Known(t_s=1.8e9 + 4000.0, launch=LAUNCH, begun=ALOFT, marks=(MarkKind.SENT,))
    asked = typed("launched", flown)
    assert isinstance(asked, AskedBack)
    assert asked.why == "Release sent is marked: a launch now cannot be. Type late N."


@pytest.mark.parametrize("line", ["sent", "released", "burst"])
def test_what_is_marked_after_the_landing_was_forgotten_or_it_still_flies(line: str) -> None:
    asked = typed(line, replace(known(900.0, 8.0), marks=(MarkKind.LAUNCHED, MarkKind.LANDED)))
    assert isinstance(asked, AskedBack)
    assert asked.why == "It is marked as landed: did that come before it, or does it still fly?"
    assert asked.typed is not None
    first, second = asked.alternatives
    assert first.entry == asked.typed.entry
    assert first.words.endswith(", before it landed")
    assert second.entry == Undo(kind=MarkKind.LANDED)
    assert f"(then type {line} again)" in second.words
