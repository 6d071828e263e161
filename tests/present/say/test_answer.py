"""The plan as lines for a terminal."""

import re
from dataclasses import replace
from math import nan
from types import ModuleType

from farglide.outlook.outlook import Outlook
from farglide.present.lines import WIDTH
from farglide.present.say.answer import LAST_WORD, answer_lines, winds_text


def _text(outlook: Outlook) -> str:
    return re.sub(" +", " ", " ".join(answer_lines(outlook)))


def test_the_decision_comes_first(outlook: Outlook) -> None:
    first = " ".join(answer_lines(outlook)[:4])
    assert first.startswith(f"{outlook.verdict} {outlook.elsewhere}")
    assert answer_lines(replace(outlook, elsewhere=""))[0] == outlook.verdict
    assert outlook.why in _text(outlook)


def test_no_line_is_wider_than_the_terminal(samples: ModuleType) -> None:
    for variant in ("sample", "not_cleared", "no_release", "hostile"):
        for line in answer_lines(getattr(samples, variant)()):
            assert len(line) <= WIDTH
            assert line == line.rstrip()


def test_every_part_is_said(outlook: Outlook) -> None:
    text = _text(outlook)
    for words in (
        "launch 16:40 (T+0, 09:40 UTC) at Harrowend",
        "200 draws, seed 1",
        "1 Harrowend doubtful 0–4 16:40–16:44 0.2–1.2",
        "shut 29–61 17:09–17:41 8.3–19.8",
        "Any field: once open, some field always is.",
        "window 25.4 to 26.4 km as first passed going up, about 17:54–17:56 (T+74 to 76)",
        "release by 26.1 km, about 17:55 (T+75, 10:55 UTC): then the burst ends the window",
        "or at 18:02 (T+82, 11:02 UTC), or when it climbs less than 1 m/s, whichever comes first",
        "Harrowend: 9 in 10 by the height seen, 8 in 10 by the clock alone at 17:55; with the "
        "record of releases and pull-outs 8 in 10",
        "burst before that height under 1 in 50; if still whole, in two minutes more 1 in 20",
        "burst: 1 in 10 by 18:00, half by 18:03, 9 in 10 by 18:05",
        "FL330: 17:14 (T+34, 10:14 UTC)",
        "16 km to spare over Harrowend; quickest to 300 m over it 18:18",
        "flattest way down 20:42, after the packs; flattest way, then a firm spiral 19:01, after "
        "the packs",
        "hang 1\u2009600 g: it must just float",
        "sunset 19:33 (T+173, 12:33 UTC)",
        "launch at most 40 min late",
        "waiting 15 min with the packs on: Harrowend 9 in 10",
        "What would make it better launch 30 km up the drift: Harrowend 19 in 20, not open 7 min, "
        "last release 2 min earlier. Drive to the north-west.",
        "What we do not know, costliest first",
        "cold share of the pack: Harrowend 8 in 10",
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
    assert lines[:3] == [
        "NOT CLEARED",
        "  missing: flight out of sight",
        "  missing: free balloon",
    ]


def test_what_looks_like_a_slip_is_asked_before_the_answer(samples: ModuleType) -> None:
    suspected = "The winds do not say when they were taken: they are taken as fresh."
    lines = answer_lines(replace(samples.sample(), suspicions=(suspected,)))
    assert lines[:2] == ["LOOK AGAIN", f"  {suspected}"]
    assert "LOOK AGAIN" not in _text(samples.sample())


def test_a_window_of_less_than_a_minute_is_told_as_one_time(outlook: Outlook) -> None:
    assert outlook.release is not None
    window = outlook.release.window
    thin = replace(window, to_after_launch_s=window.from_after_launch_s + 40.0)
    text = _text(replace(outlook, release=replace(outlook.release, window=thin)))
    assert "km as first passed going up, about 17:54 (T+74)" in text


def test_no_release_says_what_would_open_it(samples: ModuleType) -> None:
    text = _text(samples.no_release())
    assert "What would open it: launch 30 km up the drift; fly the day after." in text
    assert "no release meets what you ask" in text
    assert (
        "Any field: no field at 9 in 10 17:22–17:28 (best on average 8 in 10 at Brackmoor)." in text
    )


def test_parts_with_nothing_to_say_are_left_out(outlook: Outlook) -> None:
    bare = replace(outlook, gains=(), unknowns=(), cautions=(), levels_note="", holds=(), notes=())
    text = _text(bare)
    for head in ("What would make it better", "What we do not know", "Cautions", "Notes"):
        assert head not in text
    extended = replace(outlook.ascent, beyond_amsl_m=24_000.0)
    assert "Above 24.0 km the winds are an extension" in _text(replace(bare, ascent=extended))


def test_winds_say_their_age(outlook: Outlook) -> None:
    assert "2 h 40 min old at launch" in winds_text(outlook)
    assert "1 h after the launch" in winds_text(replace(outlook, wind_age_s=-3600.0))
    assert "age unknown" in winds_text(replace(outlook, wind_age_s=nan))


def test_changes_for_the_worse_have_a_head_of_their_own(outlook: Outlook) -> None:
    worse = replace(outlook.gains[0], what="one speed at every height", chance_ratio=0.4)
    lines = answer_lines(replace(outlook, gains=(*outlook.gains, worse)))
    better_at = lines.index("What would make it better")
    worse_at = lines.index("What would make it worse")
    assert better_at < worse_at
    assert "one speed at every height" not in " ".join(lines[better_at:worse_at])
    assert "  one speed at every height: Harrowend 4 in 10, not open 7 min" in lines[worse_at + 1]
    assert "What would make it worse" not in answer_lines(outlook)


def test_what_nobody_steers_stands_in_columns(outlook: Outlook) -> None:
    lines = answer_lines(outlook)
    start = lines.index("If nobody steers")
    block = lines[start : lines.index("", start)]
    # 146 s and 260 s of the sample, in whole tens rounded down
    assert "in reach for Harrowend 140 s, Tansy Lea 260 s," in re.sub(" +", " ", " ".join(block))
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
    assert lines[1] == "  missing: glider after the release"
