"""The plan, gather and demo commands, run as a person runs them; refusals write nothing."""

import json
import os
import shutil
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest

from farglide.errors import InputError

from .commands import FEW, Said, assert_refused, changed, files_below, strictly_read


def test_json_holds_the_keys_that_others_build_on(farglide: Said, flight: Path) -> None:
    code, out, err = farglide("plan", flight, "--json", *FEW)
    assert (code, err) == (0, "")
    document = strictly_read(out)
    ascent = document["ascent"]
    for spread in (ascent["burst"]["height_amsl_m"], ascent["burst"]["after_launch_s"]):
        assert spread["p10"] < spread["p50"] < spread["p90"]
    assert ascent["burst"]["lat_deg"] < -46.5
    assert ascent["burst"]["lon_deg"] > 108.0
    assert [field["name"] for field in document["fields"]] == [
        "Harrowend strip", "Tansy Lea", "Brackmoor", "Corrand strip",
    ]  # fmt: skip
    for field in document["fields"]:
        for band in field["bands"]:
            assert band["state"] in ("open", "doubtful", "shut")
            assert band["from_after_launch_s"] < band["to_after_launch_s"]
            assert band["from_amsl_m"] <= band["to_amsl_m"]
    # until the car is on the ridge, it hides every field but home from the crew
    assert 420.0 <= document["gap_s"] <= 780.0  # in fresh winds home shuts late
    assert [link["name"] for link in document["links"]] == ["picture", "command"]
    margins = document["links"][0]["stands"][1]["margin_db"]
    assert all(row["p10"] <= row["p50"] <= row["p90"] for row in margins)
    lost = {row["stand"]: row["agl_m"] for row in document["fields"][0]["lost_picture_agl_m"]}
    assert 380.0 < lost["Wether Knap"] < 400.0
    release = document["release"]
    assert release["field"] == "Harrowend strip"
    assert 0.8 < release["chance_ratio"] <= 1.0
    window = release["window"]
    assert (
        window["from_after_launch_s"]
        <= release["release_by_after_launch_s"]
        <= window["to_after_launch_s"]
    )
    assert document["fill"]["neck_lift_kg"] == 2.15
    # 1.6 + 1.0 kg of lift are 2.34 m3 of hydrogen at 240 m, in the air of the demo: 3.15 kg 2.835
    assert document["fill"]["volume_m3"] == pytest.approx(2.34 * 3.15 / 2.6, abs=0.02)


def test_the_answer_ends_with_the_brief_and_progress_goes_to_standard_error(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    code, out, err = farglide("plan", flight, "--out", tmp_path / "out", *FEW)
    assert code == 0
    assert out.startswith("Launch from Harrowend strip at 16:40, release between ")
    assert out.endswith(f"Brief: {tmp_path / 'out' / 'brief.html'}\n")
    assert "flying the draws" in err
    assert "flying" not in out


def test_the_decision_is_printed_before_anything_is_compared(
    farglide: Said, flight: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise InputError("nothing", "lost", "all of it")

    monkeypatch.setattr("farglide.plan.plan.launch_area", broken)
    code, out, err = farglide("plan", flight, *FEW)
    assert code == 2
    assert out.startswith("Launch from Harrowend strip at 16:40, release between ")
    assert "\nGuessed       Nothing; usual values, not measured: " in out
    assert "\nElsewhere" not in out
    assert "nothing is lost" in err
    # for a program nothing is printed but the whole document
    assert farglide("plan", flight, "--json", *FEW)[1] == ""


def test_the_first_screen_is_printed_and_the_rest_where_it_is_asked_for(
    farglide: Said, flight: Path
) -> None:
    short, full = (farglide("plan", flight, *FEW, *more)[1] for more in ((), ("--full",)))
    lines = short.splitlines()
    assert len(lines) <= 40
    assert max(map(len, lines)) <= 100
    assert " ".join(lines[-2:]).endswith("All numbers: --full. To print and carry: --out FOLDER.")
    shared = short[: short.index("\n\nThis is advice")]
    assert full.startswith(f"{shared}\n\n")
    assert "\n\nField             state " in full
    assert len(full.splitlines()) > 150


def test_a_terminal_of_80_columns_gets_lines_of_80(
    farglide: Said, flight: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("farglide.cli.main.columns", lambda: 80)
    lines = farglide("plan", flight, *FEW)[1].splitlines()
    assert max(map(len, lines)) <= 80
    assert len(lines) <= 48


class _Whole(HTMLParser):
    """Counts what is opened and closed."""

    def __init__(self) -> None:
        super().__init__()
        self.opened: dict[str, int] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.opened[tag] = self.opened.get(tag, 0) + 1

    def handle_endtag(self, tag: str) -> None:
        self.opened[tag] = self.opened.get(tag, 0) - 1


def test_out_holds_the_brief_and_the_document_whole(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    out_dir = tmp_path / "deep" / "out"
    code, out, _ = farglide("plan", flight, "--json", "--out", out_dir, *FEW)
    assert code == 0
    assert files_below(out_dir) == ["brief.html", "launch-area.geojson", "plan.json"]
    assert strictly_read((out_dir / "plan.json").read_text(encoding="utf-8")) == json.loads(out)
    brief = (out_dir / "brief.html").read_text(encoding="utf-8")
    assert brief.startswith("<!doctype html>")
    assert brief.rstrip().endswith("</html>")
    parser = _Whole()
    parser.feed(brief)
    paired = ("html", "body", "article", "svg", "g", "table", "tr", "td", "p", "style", "text")
    assert {tag: parser.opened[tag] for tag in paired} == dict.fromkeys(paired, 0)
    assert parser.opened.get("script", 0) == 0


def test_a_second_plan_takes_the_place_of_the_first(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    out_dir = tmp_path / "out"
    for draws in ("50", "60"):
        assert farglide("plan", flight, "--json", "--out", out_dir, "--draws", draws)[0] == 0
    assert strictly_read((out_dir / "plan.json").read_text(encoding="utf-8"))["n_draws"] == 60


def test_the_same_seed_gives_the_same_bytes_and_another_seed_another_luck(
    farglide: Said, flight: Path
) -> None:
    first, again, other = (
        farglide("plan", flight, "--json", "--seed", seed, *FEW)[1] for seed in ("7", "7", "8")
    )
    assert first == again
    assert first != other
    assert strictly_read(other)["seed"] == 8


def test_a_plan_without_any_open_field_is_an_answer_not_an_error(
    farglide: Said, flight: Path
) -> None:
    for lat in ("-46.500000", "-46.605888", "-46.750305", "-46.799664"):
        changed(flight, f"lat_deg = {lat}", f"lat_deg = {float(lat) + 3.6:.6f}")
    changed(
        flight, "drive_min = 0", "drive_min = 600"
    )  # the first stand moves with the first field
    # the ground of the demo does not reach that far, and says so
    assert "do not cover" in farglide("plan", flight, "--json", *FEW)[2]
    changed(flight, '[terrain]\nfiles = ["amber-evening-ground.tif"]\n', "")
    code, out, _ = farglide("plan", flight, "--json", *FEW)
    assert code == 0
    document = strictly_read(out)
    assert document["release"] is None
    assert [len(field["bands"]) for field in document["fields"]] == [1, 1, 1, 1]
    assert document["would_open"]
    code, out, _ = farglide("plan", flight, *FEW)
    assert code == 0
    begins = "No release is worth it at any height, from Harrowend strip at 16:40."
    assert " ".join(out.split()).startswith(f"{begins} Every field has")


@pytest.mark.slow
def test_the_installed_command_plans_the_demo_into_a_pipe(tmp_path: Path) -> None:
    program = Path(sys.executable).with_name("farglide")
    done = subprocess.run(
        [program, "demo", "--out", tmp_path / "out"],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "COLUMNS": "40", "LC_ALL": "C"},
    )
    assert done.stdout.startswith("Launch from Harrowend strip at 16:40")
    assert "\x1b" not in done.stdout
    assert max(map(len, done.stdout.splitlines()[:-2])) <= 100
    assert files_below(tmp_path / "out") == ["brief.html", "launch-area.geojson", "plan.json"]


def test_help_of_every_command_speaks_of_the_job(farglide: Said) -> None:
    for command in ("new", "check", "plan", "gather", "demo"):
        code, out, err = farglide(command, "--help")
        assert (code, err) == (0, "")
        assert f"farglide {command} [OPTIONS]" in out.splitlines()[0]
        for word in ("safe", "legal", "guarantee"):
            assert word not in out.lower()


def test_links_are_told_over_the_ground_and_from_a_pack_alike(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    code, out, _ = farglide("links", flight)
    assert "pack all: picture and command end, nothing releases" in out
    assert code == 0
    assert "Ground: elevation amber-evening-ground.tif" in " ".join(out.split())
    assert "Where to aim from Stile Gap" in out
    pack = tmp_path / "pack"
    code, said, _ = farglide("gather", flight, "--pack", pack)
    assert code == 0
    assert "amber-evening-ground.tif, the ground" in said
    shutil.rmtree(flight.parent)
    code, again, _ = farglide("links", "--pack", pack)
    assert (code, again) == (0, out)


def test_a_weaker_link_is_told_with_its_places(farglide: Said, flight: Path) -> None:
    code, out, _ = farglide("links", flight, "--less-db", "9")
    assert code == 0
    text = " ".join(out.split())
    assert "picture, 9 dB less: it reaches 28 km in free space" in text
    assert "command, 9 dB less: it reaches 87 km in free space" in text
    assert "Brackmoor (field)" in text
    assert "Picture worse than it should be" in text
    assert "Ground: elevation amber-evening-ground.tif" in text
    assert "T+0 " not in text  # no table of aims: one question, one answer
    assert max(map(len, out.splitlines())) <= 100
    code, out, _ = farglide("links", flight)
    assert code == 0
    assert "picture, 12 dB less" in out
    assert "picture, as budgeted" in out
    for wrong in ("-1", "61", "nan", "inf"):
        assert_refused(farglide("links", flight, "--less-db", wrong), "--less-db", "0 to 60 dB")


def test_a_launch_years_away_stands_beside_the_answer(
    farglide: Said, flight: Path, monkeypatch: pytest.MonkeyPatch, today: float
) -> None:
    monkeypatch.setattr("farglide.cli.today.now_t_s", lambda: today - 3.0 * 365.25 * 86_400.0)
    code, out, _ = farglide("plan", flight, *FEW)
    assert code == 0
    assert "The launch on Saturday 23 January 2027 is 3.0 years from now" in out
    told = strictly_read(farglide("plan", flight, "--json", *FEW)[1])
    assert len(told["suspicions"]) == 1


BOX = """
[flight]
name = "Salt box"
launch_at = 2027-01-23T16:40:00+07:00
[launch]
lat_deg = -46.5
lon_deg = 108.0
amsl_m = 240
[balloon]
mass_g = 800
gas = "hydrogen"
neck_lift_g = 1600
[payload]
mass_g = 900
canopy_cm = 100
[wind]
file = "amber-evening-winds.csv"
"""


def test_a_payload_is_planned_and_written_and_other_commands_say_so(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    flight.write_text(BOX, encoding="utf-8")
    out = tmp_path / "out"
    code, told, _ = farglide("plan", flight, *FEW, "--out", out)
    assert code == 0
    assert "The payload comes down about" in told
    assert "All numbers: --full." in told
    assert f"Brief: {out / 'brief.html'}" in told
    assert files_below(out) == ["brief.html", "landing.geojson", "plan.json"]
    full = farglide("plan", flight, *FEW, "--full")[1]
    assert "\nLevels\n" in full
    assert "All numbers" not in full
    assert set(told.splitlines()) - set(full.splitlines()) == {
        "All numbers: --full. To print and carry: --out FOLDER.", f"Brief: {out / 'brief.html'}"
    }  # fmt: skip
    code, printed, _ = farglide("plan", flight, *FEW, "--json")
    assert strictly_read(printed) == strictly_read((out / "plan.json").read_text(encoding="utf-8"))
    assert "Under its parachute it comes down" in farglide("check", flight)[1]
    for command in ("links", "fields"):
        refused = farglide(command, flight)
        assert refused[0] == 2
        assert f"farglide {command} is asked of a payload" in refused[2]
