"""The ask command, as a person runs it: each question, the document, and refusals."""

import json
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import pytest

from farglide.cli.questions import QUESTIONS
from farglide.outlook.advice import Advice
from farglide.present.say.advice import QUESTIONS as ADVISED
from farglide.track.handover.sentence import Common, HandedOver, spoken

from .commands import Said

DEMO = Path(str(files("farglide.flightfile") / "assets")) / "amber-evening.toml"
FEW = ("--draws", "60")
LAUNCH_T_S = 1_800_697_200.0


@pytest.fixture
def track(tmp_path: Path) -> Path:
    """Return half an hour of a climb at 5 m/s that drifts to the south-east, as a table."""
    rows = ["time,lat,lon,alt"]
    for k in range(61):
        t_s = 30.0 * k
        rows.append(f"{LAUNCH_T_S + t_s},{-46.5 - 3e-5 * t_s:.6f},{108.0 + 1e-4 * t_s:.6f},"
                    f"{240.0 + 5.0 * t_s}")  # fmt: skip
    path = tmp_path / "climb.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


def test_the_demo_is_launched_when_this_track_begins(said: Said, track: Path) -> None:
    code, text, _ = said("ask", "where", DEMO, "--track", track, *FEW)
    assert code == 0
    assert "9.2 km up, 46.554 S 108.180 E, at 17:10." in text


@pytest.mark.parametrize("question", sorted(ADVISED))
def test_each_question_is_answered(said: Said, track: Path, question: str) -> None:
    code, text, _ = said("ask", question, DEMO, "--track", track, *FEW)
    assert code == 0
    assert "  As of    17:10, T+30." in text.splitlines()[1:3]
    heads = [line for line in text.splitlines() if line and not line.startswith(" ")][1:]
    assert len(heads) == len(ADVISED[question])


@pytest.mark.parametrize("question", sorted(set(QUESTIONS) - set(ADVISED)))
def test_each_other_question_is_answered_from_typed_digits_alone(said: Said, question: str) -> None:
    typed = ("--typed", "46.797 S 108.506 E 25000", "--at", "17:50", "--car", "wether")
    code, text, err = said("ask", question, DEMO, *typed, *FEW)
    assert code == 0, err
    lines = text.splitlines()
    assert len(lines) >= 5
    assert max(map(len, lines)) <= 80
    labels = [line.split()[0] for line in lines if line.startswith("  ") and line[2] != " "]
    assert labels[:5] == ["As", "Number", "Until", "Why", "Changes"]
    answer = lines[: lines.index("  As of    17:50, T+70.")]
    assert all(not one.startswith(" ") for one in answer)  # its first sentence, unbroken by it


def test_lines_have_their_own_times(said: Said) -> None:
    typed = ("--typed", "16:50 46.53 S 108.1 E 3400", "--typed", "17:10 46.6 S 108.3 E 9400")
    code, text, _ = said("ask", "where", DEMO, *typed, *FEW)
    assert code == 0
    assert "9.4 km up, 46.600 S 108.300 E, at 17:10." in text
    code, text, _ = said("ask", "where", DEMO, *typed, "--at", "16:52", *FEW)
    assert code == 0
    assert "Guessed for 2 min" in text


def test_a_height_alone_takes_the_place_of_the_plan(said: Said) -> None:
    code, text, err = said("ask", "where", DEMO, "--typed", "h 9000", "--at", "17:08", *FEW)
    assert code == 0
    assert "9.0 km up" in text
    assert "No place is known: it is the plan's at that height, 9 in 10 draws within" in err


def test_with_no_place_at_all_it_goes_as_planned(said: Said) -> None:
    code, text, err = said("ask", "where", DEMO, "--at", "17:00", *FEW)
    assert code == 0
    assert "Guessed for 20 min" in text
    assert "all goes as planned since the launch" in err


def test_the_document_of_another_question_is_its_own(said: Said) -> None:
    code, text, _ = said("ask", "sun", DEMO, "--at", "17:00", "--json", *FEW)
    assert code == 0
    assert "azimuth_deg" in json.loads(text)


def test_the_document_holds_all_of_it(said: Said, track: Path) -> None:
    code, text, _ = said("ask", "burst", DEMO, "--track", track, "--json", *FEW)
    assert code == 0
    found = json.loads(text)
    assert list(found) == list(Advice.__dataclass_fields__)
    assert found["after_launch_s"] == 1800.0
    assert found["level"] in ("quiet", "watch", "decide", "now")


def test_another_moment_and_another_launch(said: Said, track: Path) -> None:
    asked = ("ask", "where", DEMO, "--track", track, *FEW)
    _, at, _ = said(*asked, "--at", "T+20")
    assert "6.2 km up" in at
    assert "at 17:00" in at
    _, later, _ = said(*asked, "--launched", "16:50", "--at", "17:10")
    assert "9.2 km up" in later


def test_refusals(said: Said, track: Path, tmp_path: Path) -> None:
    for more, words in (
        (("burst", DEMO, "--track", track, "--at", "noon"), "--at is 'noon'; allowed: HH:MM"),
        (("howso", DEMO, "--track", track), "QUESTION is 'howso'; allowed: now, wait"),
        (("now", DEMO, "--track", tmp_path / "none.gpx"), "none.gpx"),
        (("now", DEMO, "--track", track, "--feed", "car"), "--feed is 'car'; allowed: "),
        (("now", DEMO, "--track", track, "--at", "16:30"), "fixes is none; allowed: one with"),
        (("now", DEMO), "--at is missing; allowed: HH:MM, or T+MINUTES"),
        (("now", DEMO, "--at", "17:00", "--car", "nowhere"), "--car is 'nowhere'; allowed: a st"),
        (("now", DEMO, "--at", "17:00", "--car", "46.5"), "--car is '46.5'; allowed: a stand"),
        (("fault", DEMO, "--at", "17:00", "--grade", "7"), "picture grade is 7; allowed: 0 to 5"),
        (("fault", DEMO, "--at", "17:00", "--card", "ufo"), "--card is 'ufo'; allowed: the name"),
        (("now", DEMO, "--at", "17:00", "--typed", "hm"), "--typed is 'hm'; allowed: an entry"),
        (("now", DEMO, "--at", "18:40", "--typed", "h 45000"), "height is 45000 m; allowed: up"),
        (("now", DEMO, "--at", "17:00", "--typed", "h 45000"), "mean height 13716 m (45000 ft)"),
        (
            (
                "now",
                DEMO,
                "--at",
                "17:00",
                "--typed",
                "refused h",
                "--typed",
                "refused t",
                "--typed",
                "refused b",
                "--typed",
                "refused co",
            ),
            "fields is all refused; allowed: one or more. Take one back: undo.",
        ),
    ):
        code, text, err = said("ask", *more, *FEW)
        assert (code, text) == (2, "")
        assert words in err


def test_a_track_without_times_is_refused(said: Said, tmp_path: Path) -> None:
    bare = tmp_path / "bare.csv"
    bare.write_text("lat,lon,alt\n-46.5,108.0,900\n-46.5,108.1,990\n", encoding="utf-8")
    code, text, err = said("ask", "now", DEMO, "--track", bare, *FEW)
    assert (code, text) == (2, "")
    assert "--track is without a time in any fix; allowed: fixes with times" in err


def test_two_feeds_want_to_be_told_apart(said: Said, track: Path) -> None:
    lines = track.read_text(encoding="utf-8").splitlines()
    both = [f"{lines[0]},feed", *(f"{line},{'ab'[k % 2]}" for k, line in enumerate(lines[1:]))]
    track.write_text("\n".join(both) + "\n", encoding="utf-8")
    code, _, err = said("ask", "where", DEMO, "--track", track, *FEW)
    assert code == 2
    assert "--feed is missing; allowed: 'a', 'b'. Which of them is on the balloon?" in err
    code, text, _ = said("ask", "where", DEMO, "--track", track, "--feed", "a", *FEW)
    assert code == 0
    assert "9.2 km up" in text


def test_what_one_car_says_the_other_types(said: Said) -> None:
    typed = ("--typed", "17:50 46.797 S 108.506 E 25000")
    _, text, _ = said("ask", "hand", DEMO, *typed, *FEW)
    words = text.splitlines()[0]
    code, there, _ = said("ask", "where", DEMO, "--typed", words, "--at", "17:50:30", *FEW)
    assert code == 0
    assert "25.2 km up" in there or "25.3 km up" in there
    assert "46.79" in there
    wrong = words.replace(words.split()[3], "mike", 1)
    code, _, err = said("ask", "where", DEMO, "--typed", wrong, "--at", "17:50:30", *FEW)
    assert code == 2
    assert "These words do not check. Looks wrong: word 3, mike (was it " in err


def test_a_hand_over_of_another_day_tells_its_own_time(said: Said) -> None:
    typed = ("--typed", "17:50 46.797 S 108.506 E 25000")
    _, text, _ = said("ask", "hand", DEMO, *typed, *FEW)
    words = text.splitlines()[0].partition(" ")[2]
    code, there, _ = said("ask", "where", DEMO, "--typed", f"over 17:50 {words}", *FEW)
    assert code == 0
    assert "25.0 km up" in there
    assert "at 17:50" in there
    track = ("--typed", "17:45 46.79 S 108.49 E 23200", "--typed", f"over {words}")
    code, later, _ = said("ask", "where", DEMO, *track, *FEW)
    assert code == 0
    assert "at 17:50" in later


def test_a_hand_over_far_from_the_launch_is_read_where_the_plan_has_it(said: Said) -> None:
    """120 km east of the launch would else be 85 km west of it."""
    launch = (-46.5, 108.0)
    t_s = LAUNCH_T_S + 4800.0
    told = HandedOver(lat_deg=-46.8, lon_deg=109.56, amsl_m=26_000.0, at_t_s=t_s, phase="climbing")
    words = spoken(told, Common(*launch, -46.8, 109.56, t_s))
    code, there, _ = said("ask", "where", DEMO, "--typed", f"over {words}", "--at", "18:00", *FEW)
    assert code == 0
    assert "109.56" in there
    told = replace(told, lon_deg=107.0)
    words = spoken(told, Common(*launch, -46.8, 107.0, t_s))
    code, _, err = said("ask", "where", DEMO, "--typed", f"over {words}", "--at", "18:00", *FEW)
    assert code == 2
    assert "from where it was expected" in err
    assert "Did you mean handed over: climbing at 18:00, 4" in err


def test_a_release_typed_without_its_launch_is_taken(said: Said) -> None:
    typed = ("--typed", "17:50 46.797 S 108.506 E 25000", "--typed", "17:50 sent",
             "--typed", "17:51 released", "--at", "17:52")  # fmt: skip
    code, text, _ = said("ask", "now", DEMO, *typed, *FEW)
    assert code == 0
    assert text.startswith("Steer for Harrowend strip")


def test_a_grade_typed_in_the_ride_is_the_one_that_is_asked_about(said: Said) -> None:
    asked = ("ask", "fault", DEMO, "--at", "17:50", "--car", "wether", *FEW)
    typed = ("--typed", "46.797 S 108.506 E 25000", "--typed", "q 1")
    code, text, _ = said(*asked, *typed)
    assert code == 0
    assert text.startswith("Test: ")
    assert "1 is seen" in " ".join(text.split())
    told = said(*asked, *typed[:2], "--grade", "1")[1]
    lines, as_told = text.splitlines(), told.splitlines()
    assert [one for one in lines if "Until" not in one] == [
        one for one in as_told if "Until" not in one
    ]  # typed in the ride it moves the picture's end, too, and with it the time in hand
    _, card, _ = said(*asked, *typed, "--card", "frost")
    assert card.startswith("Wait. It dries in drier air above.")


def test_after_the_release_the_same_question_has_another_answer(said: Said, track: Path) -> None:
    told = ("--track", track, "--released", "17:10:00", *FEW)
    code, text, err = said("ask", "now", DEMO, *told)
    assert code == 0, err
    assert text.startswith("Hold still. Level in about")
    code, text, _ = said("ask", "now", DEMO, *told, "--json")
    assert code == 0
    document = json.loads(text)
    assert document["stage"] == "dropped"
    assert document["release"] is None
    assert document["after"]["is_marked"] is True
    for question in ("wait", "burst"):
        code, text, _ = said("ask", question, DEMO, *told)
        assert code == 0
        assert text.startswith("No whole balloon carries it any more")


@pytest.mark.parametrize("question", ["sun", "park", "search", "fault", "call", "hand"])
def test_after_the_release_the_rest_is_answered_too(said: Said, track: Path, question: str) -> None:
    told = ("--track", track, "--released", "17:10:00", "--at", "17:10:50")
    told = (*told, "--car", "wether", *FEW)
    code, text, err = said("ask", question, DEMO, *told)
    assert code == 0, err
    lines = text.splitlines()
    assert not text.startswith("No whole balloon")
    assert len(lines) >= 5
    assert max(map(len, lines)) <= 80
    about = {"sun": "aims", "park": "car", "search": "segments", "fault": "door_in_s",
             "call": "sinks_mps", "hand": "words"}  # fmt: skip
    document = json.loads(said("ask", question, DEMO, *told, "--json")[1])
    assert about[question] in document


def test_the_car_that_is_told_counts_after_the_release(said: Said, track: Path) -> None:
    told = ("--track", track, "--released", "17:10:00", "--at", "17:10:50", *FEW)
    assert "From Stile Gap aim" in said("ask", "now", DEMO, *told, "--car", "stile")[1]
    assert "From Wether Knap aim" in said("ask", "now", DEMO, *told, "--car", "wether")[1]


def test_what_is_marked_as_down_is_looked_for(said: Said, track: Path) -> None:
    marks = ("--typed", "16:40 launched", "--typed", "17:09 released", "--typed", "17:40 landed")
    code, text, err = said("ask", "sun", DEMO, "--track", track, *marks, *FEW)
    assert code == 0, err
    assert text.startswith("It is down, as you marked. Look for it: farglide search.")


def test_a_track_that_plainly_falls_needs_no_word_of_a_release(said: Said, track: Path) -> None:
    rows = track.read_text(encoding="utf-8").splitlines()
    for k in range(1, 20):
        rows.append(f"{LAUNCH_T_S + 1800.0 + 3.0 * k},-46.554,108.18,{9240.0 - 90.0 * k}")
    track.write_text("\n".join(rows) + "\n", encoding="utf-8")
    code, text, err = said("ask", "now", DEMO, "--track", track, *FEW)
    assert code == 0, err
    assert "nobody marked it" in " ".join(text.split())
