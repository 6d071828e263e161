"""Weaker links, causes and the unseen release in words."""

from dataclasses import replace
from types import ModuleType

import pytest

from farglide.outlook.outlook import Outlook
from farglide.outlook.weaker import (
    BlindRelease,
    BlindStep,
    ExpectedPhase,
    ExpectedPicture,
    GradeSeen,
    HeardAgain,
    SeenPhase,
    WeakerLink,
)
from farglide.present.say.links.car import no_picture_words
from farglide.present.say.links.causes import cause_rows, causes_part, expected_words, seen_words
from farglide.present.say.links.weaker import (
    again_words,
    less_words,
    phase_words,
    story_lines,
    weaker_lines,
    weaker_part,
    weaker_table,
)
from farglide.present.say.text import FlightClock
from farglide.report.brief import render_brief

from ....reading import answer_lines

HANDS_OFF = "glider, hands off"
MINUTE_S = 60.0


def again(place: str, spans: tuple[tuple[float, float], ...], **changed: object) -> HeardAgain:
    made = HeardAgain(
        story=HANDS_OFF,
        place=place,
        at="field",
        spans=tuple((a * MINUTE_S, b * MINUTE_S) for a, b in spans),
        heard_ratio=0.7,
        drive_s=41.0 * MINUTE_S,
        barriers=(),
        set_off_after_launch_s=65.0 * MINUTE_S if spans else None,
        contact_after_launch_s=None,
        in_time_ratio=0.2,
    )
    return replace(made, **changed)  # type: ignore[arg-type]


def seen(margin_db: float, grade: int | None) -> tuple[SeenPhase, ...]:
    moments = (("weakest", 70.0), ("release", 75.5), ("end", 95.0))
    return tuple(
        SeenPhase(
            phase=phase,  # type: ignore[arg-type]
            after_launch_s=minutes * MINUTE_S,
            margin_db=margin_db + step,
            elevation_deg=30.0,
            grade=grade,
        )
        for step, (phase, minutes) in enumerate(moments)
    )


BRACKMOOR = again("Brackmoor", ((78.0, 113.0),), barriers=("Gollan Wood",))
KNAP = again("Wether Knap", (), at="stand", drive_s=0.0, heard_ratio=0.16, in_time_ratio=0.16)
PICTURE = WeakerLink(
    link="picture",
    purpose="picture",
    loss_db=9.0,
    reach_m=28_300.0,
    stand="Wether Knap",
    seen=seen(-4.0, 0),
    chance_ratio=0.06,
    chance_stand="Wether Knap",
    heard_again=(BRACKMOOR, KNAP),
)
COMMAND = replace(PICTURE, link="command", purpose="command", seen=seen(6.0, None), reach_m=86_700)
BEACON = replace(COMMAND, link="beacon", purpose="position", chance_ratio=None, chance_stand="")
BLIND = BlindRelease(
    link="command",
    stand="Wether Knap",
    spread_db=4.1,
    steps=(
        BlindStep(
            after_launch_s=56.0 * MINUTE_S, margin_db=16.0, arrives_ratio=0.999, in_hand_s=1170.0
        ),
        BlindStep(
            after_launch_s=75.5 * MINUTE_S, margin_db=15.0, arrives_ratio=0.97, in_hand_s=0.0
        ),
    ),
    doors=((HANDS_OFF, 738.0), ("glider in a spin", 100.0)),
    unsent=((75.5 * MINUTE_S, 0.02), (85.5 * MINUTE_S, 0.7)),
)
EXPECTED = ExpectedPicture(
    link="picture",
    stand="Wether Knap",
    phases=tuple(
        ExpectedPhase(
            phase=phase.phase,
            after_launch_s=phase.after_launch_s,
            margin_db=phase.margin_db + 9.0,
            elevation_deg=30.0,
            grade=3,
            worse=(
                GradeSeen(grade=2, least_db=5.0, most_db=6.5),
                GradeSeen(grade=0, least_db=7.3, most_db=None),
            ),
        )
        for phase in PICTURE.seen
    ),
    fastest_dbps=0.5 / 60.0,
    highest_deg=77.6,
    overhead=((83.0 * MINUTE_S, 87.0 * MINUTE_S),),
)


@pytest.fixture
def weak(samples: ModuleType) -> Outlook:
    made = samples.with_links()
    assert isinstance(made, Outlook)
    links = (PICTURE, COMMAND, BEACON)
    return replace(made, weaker=links, blind=BLIND, expected=(EXPECTED,))


@pytest.fixture
def clock(weak: Outlook) -> FlightClock:
    return FlightClock(launch_t_s=weak.launch_t_s, zone=weak.zone)


def test_the_short_table_has_a_line_for_each_loss() -> None:
    lines = weaker_table((replace(PICTURE, loss_db=0.0), PICTURE, BEACON), "Harrowend strip")
    assert lines[0] == "If a link is weaker: the chance of Harrowend strip then"
    assert lines[2].split() == [
        "picture,", "as", "budgeted", "28", "−4", "T+70", "1", "in", "10", "Wether", "Knap",
    ]  # fmt: skip
    assert lines[3].split()[:4] == ["picture,", "9", "dB", "less"]
    assert lines[4].split()[-3:] == ["T+70", "–", "–"]
    assert weaker_table((PICTURE,), "")[0] == "If a link is weaker"
    assert weaker_table((), "home") == []
    assert all(len(line) <= 100 for line in lines)


def test_the_long_text_says_where_to_drive_and_until_when(clock: FlightClock) -> None:
    lines = weaker_lines((PICTURE, COMMAND, BEACON), "Harrowend strip", 4530.0, clock)
    assert all(len(line) <= 100 for line in lines)
    text = " ".join(" ".join(lines).split())
    assert "picture, 9 dB less: it reaches 28 km in free space" in text
    assert "−4 dB (no picture) at its weakest T+70" in text
    assert "chance of Harrowend strip then: 1 in 10, best from Wether Knap" in text
    assert "Brackmoor (field) 17:58–18:33 7 in 10 41 min 17:45 too late 2 in 10" in text
    assert "Gollan Wood on the straight line" in text
    assert "not if all goes as planned; the chance even so: Wether Knap 2 in 10" in text
    assert "no place in time from the release on: leave earlier" in text
    assert "Where it can be reached again" in text  # the command is heard up there
    assert "beacon" not in text
    assert "keep to the legal speed" in text
    assert "safe" not in text
    assert weaker_lines((BEACON,), "home", 4530.0, clock) == []
    bare = weaker_lines((replace(PICTURE, heard_again=(), chance_ratio=None),), "", 4530.0, clock)
    assert not any("received again" in line or "chance of" in line for line in bare)


def test_a_contact_and_gaps_are_told(clock: FlightClock) -> None:
    there = replace(KNAP, spans=BRACKMOOR.spans, contact_after_launch_s=78.0 * MINUTE_S)
    two = again("Corrand", ((78.0, 80.0), (90.0, 95.0)))
    text = " ".join(" ".join(story_lines([there, two], clock)).split())
    assert "Wether Knap 17:58–18:33 2 in 10 there – 17:58" in text
    assert "with gaps: 17:58–18:00, 18:10–18:15" in text
    assert "no place in time" not in text


def test_the_answer_names_reach_odds_and_places(weak: Outlook, clock: FlightClock) -> None:
    lines = weaker_part(weak, clock).facts
    assert lines[0] == (
        "picture, and the chance of Harrowend then: 9 dB less reaches 28 km, 1 in 10"
    )
    assert lines[1] == (
        "command, and the chance of Harrowend then: 9 dB less reaches 87 km, 1 in 10"
    )
    assert lines[2] == (
        "picture 9 dB less, glider, hands off: receivable at Brackmoor 17:58–18:33 (41 min to "
        "drive, Gollan Wood in between, leave by 17:45)"
    )
    assert len(lines) == 3
    never = replace(PICTURE, heard_again=(KNAP,))
    assert again_words(never, clock)[0].endswith("receivable nowhere")
    here = replace(KNAP, spans=BRACKMOOR.spans)
    (told,) = again_words(replace(PICTURE, heard_again=(here,)), clock)
    assert told.endswith("Wether Knap 17:58–18:33 (the car is there)")


def test_words_for_loss_and_phase() -> None:
    assert (less_words(0.0), less_words(12.0)) == ("as budgeted", "12 dB less")
    picture, command = PICTURE.seen[1], COMMAND.seen[1]
    assert phase_words(picture) == "−3 dB (no picture) at the release"
    assert phase_words(command) == "+7 dB at the release"


def test_each_cause_has_its_looks_and_its_test(weak: Outlook, clock: FlightClock) -> None:
    rows = cause_rows(weak, clock)
    assert [row[0] for row in rows] == ["distance", "aim", "damage", "overhead", "own command"]
    looks = {cause: words for cause, words, _ in rows}
    assert "never more than 0.5 dB a minute" in looks["distance"]
    assert "with 9 dB less, no picture at the release" in looks["damage"]
    only = "it can only be where the glider stands over 70° high"
    assert looks["overhead"] == f"{only}: from Wether Knap at 18:03–18:07, up to 78°"
    assert all(test for _, _, test in rows)
    low = replace(weak, expected=(replace(EXPECTED, overhead=(), highest_deg=59.0),))
    looks = {cause: words for cause, words, _ in cause_rows(low, clock)}
    assert "never, it stands 59° at most" in looks["overhead"]
    first, *others = causes_part(weak, clock).facts
    assert first == expected_words(EXPECTED)
    assert "picture 3 at the release T+75 (+6 dB)" in first
    worse = "picture 2 stands for 5 to 6 dB missing, no picture stands for 7 dB or more missing"
    assert f"if it is worse at the release, {worse}" in first
    assert others[1].startswith("aim: it comes and goes with the hand")
    assert "Test: turn a beam to each side" in others[1]
    assert causes_part(replace(weak, expected=()), clock).facts == []
    assert seen_words(GradeSeen(grade=1, least_db=6.4, most_db=7.3)) == (
        "picture 1 stands for 6 to 7 dB missing"
    )
    assert seen_words(GradeSeen(grade=1, least_db=9.6, most_db=10.4)) == (
        "picture 1 stands for about 10 dB missing"
    )
    near = replace(weak, expected=(replace(EXPECTED, overhead=(), highest_deg=89.0),))
    assert "never: where it is that high it is nearer than 3 km" in " ".join(
        looks for row in cause_rows(near, clock) for looks in row
    )


def test_without_a_release_none_is_spoken_of(weak: Outlook, clock: FlightClock) -> None:
    phases = tuple(one for one in EXPECTED.phases if one.phase != "release")
    seen_now = tuple(one for one in PICTURE.seen if one.phase != "release")
    none = replace(
        weak,
        release=None,
        expected=(replace(EXPECTED, phases=phases),),
        weaker=(replace(PICTURE, seen=seen_now), COMMAND),
    )
    said = " ".join(map(str, causes_part(none, clock).facts))
    assert "at the release" not in said
    assert "at the end of the climb T+" in said
    assert "if it is worse then, picture 2 stands for" in said
    assert "up to the release" not in said


def test_the_card_tells_odds_time_in_hand_and_what_comes(weak: Outlook, clock: FlightClock) -> None:
    _, send, repeat, hand, doors, unsent = no_picture_words(weak, clock)
    assert send == (
        "then send the release unseen from Wether Knap: its chance to arrive is 19 in 20"
    )
    assert repeat.startswith("the command link is then 15 dB above its threshold, give or take 4; ")
    assert repeat.endswith("repeats cannot cure a weak link")
    assert hand.endswith("if it is lost at 17:36: 20 min")  # 19.5 min, and not the last step
    assert (
        "stays in reach while nobody steers: glider, hands off 12 min, glider in a spin 100 s"
        in (doors)
    )
    assert unsent == (
        "if no release is sent, it bursts and all comes down tangled: 1 in 20 by 17:55, 7 in 10 by "
        "18:05"
    )
    weak_step = replace(BLIND.steps[-1], margin_db=-5.0, arrives_ratio=0.27)
    blind = replace(BLIND, steps=(weak_step,), doors=())
    lines = no_picture_words(replace(weak, blind=blind), clock)
    assert "then 5 dB below its threshold" in lines[2]
    assert lines[1].endswith("It may not arrive: stand still, antenna high")
    assert len(lines) == 4


def test_answer_and_brief_show_them(weak: Outlook) -> None:
    lines = answer_lines(weak)
    assert all(len(line) <= 100 for line in lines)
    said = "\n".join(lines)
    page = render_brief(weak)
    for words in ("If a link is weaker", "Picture worse than it should be"):
        assert words in said
        assert words in page
    assert "own command" in page
