"""The plan as lines for a terminal."""

import re
from dataclasses import replace
from math import nan
from types import ModuleType

from farglide.outlook.outlook import Outlook
from farglide.present.lines import WIDTH
from farglide.present.say.answer import LAST_WORD, more_lines, winds_text
from farglide.present.say.release import release_part
from farglide.present.say.screen import screen_lines
from farglide.present.say.text import FlightClock

from ...reading import answer_lines


def _text(outlook: Outlook) -> str:
    return re.sub(" +", " ", " ".join(answer_lines(outlook)))


def test_the_first_screen_comes_first(outlook: Outlook) -> None:
    lines = answer_lines(outlook)
    screen = screen_lines(outlook)
    assert lines[: len(screen) + 1] == [*screen, ""]
    assert lines[len(screen) + 1 :] == more_lines(outlook)
    # the same facts are not told twice
    assert _text(outlook).count(outlook.verdict) == 1
    assert "the record of releases" not in _text(outlook)


def test_no_line_is_wider_than_the_terminal(samples: ModuleType) -> None:
    for variant in ("sample", "not_cleared", "no_release", "hostile"):
        for line in answer_lines(getattr(samples, variant)()):
            assert len(line) <= WIDTH
            assert line == line.rstrip()


def test_every_part_is_said(outlook: Outlook) -> None:
    text = _text(outlook)
    for words in (
        "200 flights drawn, seed 1.",
        "1 Harrowend doubtful 0–4 16:40–16:44 0.2–1.2",
        "shut 29–61 17:09–17:41 8.3–19.8",
        "The table assumes that nothing has burst yet; 5 in 10 have burst by 18:03.",
        "released by the clock alone, at 17:55, the chance is 8 in 10",
        "under 1 in 50 burst before 26.1 km; of those still whole, 1 in 20 burst in the two "
        "minutes after",
        "burst by the clock: 1 in 10 by 18:00, 5 in 10 by 18:03, 9 in 10 by 18:05",
        "FL330 at 17:14",
        "the flattest glide reaches Harrowend with 16 km of height to spare",
        "over Harrowend, flown the quickest way 18:18",
        "flattest way, then a firm spiral 19:01 (T+141, 12:01 UTC), after the packs",
        "flattest way down 20:42 (T+242, 13:42 UTC), after the packs",
        "Hang 1\u2009600 g on the neck: it must just float.",
        "sunset 19:33 (T+173, 12:33 UTC)",
        "Latest launch 17:20: later the packs, on as planned, end too soon.",
        "waiting with the packs on, Harrowend has a chance of 9 in 10 up to 15 min, 8 in 10 up to "
        "30 min",
        "What would make it better launch 30 km upwind of home: the chance is 19 in 20 instead of "
        "9 in 10, shut or doubtful for 7 min instead of 34 min, the window ends 2 min earlier. "
        "Drive to the north-west.",
        "What is not known, costliest first, and what would settle it",
        "cold share of the pack: the chance is 8 in 10 instead of 9 in 10",
        outlook.levels_note,
        "2 levels without wind left out.",
        *outlook.cautions,
        LAST_WORD,
    ):
        assert words in text


def test_numbers_are_never_bare_percentages_or_verdicts_of_safety(outlook: Outlook) -> None:
    plain = _text(replace(outlook, gains=()))
    assert "%" not in plain
    assert "safe" not in plain.lower()


def test_a_missing_permission_comes_before_anything_else(samples: ModuleType) -> None:
    lines = answer_lines(samples.not_cleared())
    assert lines[0] == "NOT CLEARED. Missing: flight out of sight, free balloon."


def test_what_looks_like_a_slip_is_asked_before_the_answer(samples: ModuleType) -> None:
    suspected = "The winds do not say when they were taken: they are taken as fresh."
    lines = answer_lines(replace(samples.sample(), suspicions=(suspected,)))
    assert lines[0] == f"LOOK AGAIN. {suspected}"
    assert "LOOK AGAIN" not in _text(samples.sample())


def test_of_many_slips_two_come_first_and_the_notes_have_all(samples: ModuleType) -> None:
    slips = tuple(f"The height of field {k} is 300 m under the ground." for k in range(1, 6))
    lines = answer_lines(replace(samples.sample(), suspicions=slips))
    first = " ".join(lines[:3])
    assert first.startswith(f"LOOK AGAIN. {slips[0]} {slips[1]} 3 more: see the notes of --full.")
    notes = " ".join(" ".join(lines).split()).partition("Notes ")[2]
    assert all(slip in notes for slip in slips)


def test_a_window_of_less_than_a_minute_is_told_as_one_time(outlook: Outlook) -> None:
    assert outlook.release is not None
    window = outlook.release.window
    by_s = window.from_after_launch_s + 40.0
    soon = replace(outlook.release, release_by_after_launch_s=by_s)
    thinner = replace(outlook, release=soon)
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    assert str(release_part(thinner, clock).paper[0]).endswith("passed going up about 17:54 (T+74)")


def test_no_release_says_what_would_open_it(samples: ModuleType) -> None:
    text = _text(samples.no_release())
    assert "To open it Launch 30 km upwind of home; or fly the day after." in text
    assert "no release meets what you ask for" in text


def test_parts_with_nothing_to_say_are_left_out(outlook: Outlook) -> None:
    bare = replace(outlook, gains=(), unknowns=(), cautions=(), levels_note="", holds=(), notes=())
    text = _text(bare)
    for head in ("What would make it better", "What is not known", "Cautions"):
        assert head not in text
    extended = replace(outlook.ascent, beyond_amsl_m=24_000.0)
    assert "No winds are known above 24 km: the last are carried on." in _text(
        replace(bare, ascent=extended)
    )


def test_winds_say_their_age(outlook: Outlook) -> None:
    assert "2 h 40 min old at the launch" in winds_text(outlook)
    assert "from 1 h after the launch" in winds_text(replace(outlook, wind_age_s=-3600.0))
    assert "of unknown age" in winds_text(replace(outlook, wind_age_s=nan))


def test_changes_for_the_worse_have_a_head_of_their_own(outlook: Outlook) -> None:
    worse = replace(outlook.gains[0], what="one speed at every height", chance_ratio=0.4)
    lines = answer_lines(replace(outlook, gains=(*outlook.gains, worse)))
    better_at = lines.index("What would make it better")
    worse_at = lines.index("What would make it worse")
    assert better_at < worse_at
    assert "one speed at every height" not in " ".join(lines[better_at:worse_at])
    assert (
        "  one speed at every height: the chance is 4 in 10 instead of 9 in 10"
        in lines[worse_at + 1]
    )
    assert "What would make it worse" not in answer_lines(outlook)


def test_what_nobody_steers_stands_in_columns(outlook: Outlook) -> None:
    lines = answer_lines(outlook)
    start = lines.index("If nobody steers")
    block = lines[start : lines.index("", start)]
    heads = next(line for line in block if "from km" in line)
    row = next(line for line in block if "hands off" in line)
    assert re.sub(" +", " ", row) == (
        " glider, hands off 26 20:29 20:16–20:41 131 47.600 S 109.900 E 42"
    )
    for head, cell in (("from km", "26"), ("8 in 10", "20:16–20:41"), ("within km", "42")):
        assert heads.index(head) + len(head) == row.index(cell) + len(cell)


def test_bands_shorter_than_a_minute_are_left_out(outlook: Outlook) -> None:
    home = outlook.fields[0]
    first, second = home.bands[:2]
    brief = replace(first, to_after_launch_s=first.from_after_launch_s + 59.0)
    rest = replace(second, from_after_launch_s=brief.to_after_launch_s)
    field = replace(home, bands=(brief, rest, *home.bands[2:]))
    text = _text(replace(outlook, fields=(field, *outlook.fields[1:])))
    assert "1 Harrowend open 0–17" in text
    lasting = replace(brief, to_after_launch_s=first.from_after_launch_s + 60.0)
    field = replace(home, bands=(lasting, rest, *home.bands[2:]))
    text = _text(replace(outlook, fields=(field, *outlook.fields[1:])))
    assert "1 Harrowend doubtful 0–1" in text


def test_a_permission_is_said_in_words(outlook: Outlook) -> None:
    lines = answer_lines(replace(outlook, cleared=False, missing=("aircraft",)))
    assert lines[0] == "NOT CLEARED. Missing: glider after the release."
