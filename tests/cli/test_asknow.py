"""The ask command, as a person runs it: each question, the document, and refusals."""

import json
from importlib.resources import files
from pathlib import Path

import pytest

from farglide.outlook.advice import Advice
from farglide.present.say.advice import QUESTIONS

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


@pytest.mark.parametrize("question", sorted(QUESTIONS))
def test_each_question_is_answered(said: Said, track: Path, question: str) -> None:
    code, text, _ = said("ask", question, DEMO, "--track", track, *FEW)
    assert code == 0
    heads = [line for line in text.splitlines() if line and not line.startswith(" ")][1:]
    assert len(heads) == len(QUESTIONS[question])


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
