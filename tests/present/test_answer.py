"""The plan as lines for a terminal."""

import re
from dataclasses import replace
from math import nan
from types import ModuleType

from farglide.present.answer import LAST_WORD, WIDTH, answer_lines, winds_text
from farglide.sortie.outlook import Outlook


def _text(outlook: Outlook) -> str:
    return re.sub(" +", " ", " ".join(answer_lines(outlook)))


def test_the_decision_comes_first(outlook: Outlook) -> None:
    assert answer_lines(outlook)[0] == outlook.verdict
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
        "Any field: no minute with nowhere to land.",
        "window 17:54–17:56 (T+74 to 76), 25.4 to 26.4 km",
        "release by 17:55 (T+75, 10:55 UTC), near 26.1 km: after that the burst ends the window",
        "Harrowend: 9 in 10; with the record of releases and pull-outs 8 in 10",
        "burst by then under 1 in 50; if still whole, in two minutes more 1 in 20",
        "burst: 1 in 10 by 18:00, half by 18:03, 9 in 10 by 18:05",
        "FL330: 17:14 (T+34, 10:14 UTC)",
        "hang 1\u2009600 g: it must just float",
        "sunset 19:33 (T+173, 12:33 UTC)",
        "launch at most 40 min late",
        "waiting 15 min with the packs on: home 9 in 10",
        "What would make it better launch 30 km up the drift: home 19 in 20, shut 7 min, last "
        "release 2 min earlier. Drive to the north-west.",
        "What we do not know, dearest first",
        "cold share of the pack: home 8 in 10",
        outlook.levels_note,
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


def test_no_release_says_what_would_open_it(samples: ModuleType) -> None:
    text = _text(samples.no_release())
    assert "What would open it: launch 30 km up the drift; fly the day after." in text
    assert "no release meets what you ask" in text
    assert "Any field: nowhere to land 17:22–17:28." in text


def test_parts_with_nothing_to_say_are_left_out(outlook: Outlook) -> None:
    bare = replace(outlook, gains=(), unknowns=(), cautions=(), levels_note="", holds=())
    text = _text(bare)
    for head in ("What would make it better", "What we do not know", "Cautions", "Notes"):
        assert head not in text
    extended = replace(outlook.ascent, beyond_amsl_m=24_000.0)
    assert "above 24.0 km the winds are an extension" in _text(replace(bare, ascent=extended))


def test_winds_say_their_age(outlook: Outlook) -> None:
    assert "2 h 40 min old at launch" in winds_text(outlook)
    assert "1 h after the launch" in winds_text(replace(outlook, wind_age_s=-3600.0))
    assert "age unknown" in winds_text(replace(outlook, wind_age_s=nan))
