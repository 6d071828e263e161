"""The plan, gather and demo commands, run as a person runs them; refusals write nothing."""

import csv
import json
import math
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from farglide.air.doubt import Apart, wind_doubt
from farglide.cli.main import run
from farglide.cli.plan import DEMO
from farglide.errors import InputError

WINDS = DEMO.parent / "amber-evening-winds.csv"
GROUND = DEMO.with_name("amber-evening-ground.tif")
FEW = ("--draws", "60")
Said = Callable[..., tuple[int, str, str]]
Document = dict[str, Any]


@pytest.fixture
def farglide(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Said:
    """Return a function that runs the console entry: exit code, standard output, standard error."""

    def ran(*arguments: str | Path) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["farglide", *map(str, arguments)])
        with pytest.raises(SystemExit) as left:
            run()
        code = left.value.code if isinstance(left.value.code, int) else 0
        caught = capsys.readouterr()
        return code, caught.out, caught.err

    return ran


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    """Return a copy of the demo's flight file with its winds beside it."""
    folder = tmp_path / "flight"
    folder.mkdir()
    shutil.copy(DEMO, folder / "mine.toml")
    shutil.copy(WINDS, folder / WINDS.name)
    shutil.copy(GROUND, folder / GROUND.name)
    return folder / "mine.toml"


def changed(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def rms_wind_mps(to_m: float) -> float:
    """Return the root mean square speed of the demo's winds up to a height."""
    with WINDS.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    height_m, wind_mps = ([float(row[name]) for row in rows] for name in ("amsl_m", "wind_mps"))
    even_mps = np.interp(np.arange(height_m[0], to_m, 100.0), height_m, wind_mps)
    return float((even_mps**2).mean() ** 0.5)


def strictly_read(text: str) -> Document:
    """Return a JSON document that holds no NaN and no Infinity."""

    def refuse(word: str) -> float:
        raise AssertionError(f"{word} is no JSON")

    read = json.loads(text, parse_constant=refuse)
    assert isinstance(read, dict)
    return read


def files_below(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


def assert_refused(said: tuple[int, str, str], *words: str, progress: bool = False) -> None:
    """One message, exit code 2, nothing on standard output, no trace of the program's inside."""
    code, out, err = said
    assert (code, out) == (2, "")
    assert "Traceback" not in err
    lines = [line for line in err.splitlines() if not (progress and line.startswith("["))]
    assert len(lines) >= 1
    for word in words:
        assert word in err


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
    assert "\nGuessed       Nothing." in out
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


def test_a_relative_name_finds_the_winds_beside_the_flight_file(
    farglide: Said, flight: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(flight.parent.parent)
    code, out, _ = farglide("plan", Path(flight.parent.name) / flight.name, "--json", *FEW)
    assert code == 0
    assert strictly_read(out)["wind_origin"].startswith("invented winds of Amber evening")
    code, out, _ = farglide("gather", Path(flight.parent.name) / flight.name, "--pack", "pack")
    assert code == 0


def test_winds_on_the_command_line_take_the_place_of_those_of_the_file(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    lines = WINDS.read_text(encoding="utf-8").splitlines()
    head = [line for line in lines if line.startswith("#")]
    columns = next(line for line in lines if not line.startswith("#")).split(",")
    rows = [dict(zip(columns, line.split(","), strict=True)) for line in lines[len(head) + 1 :]]
    for row in rows:
        row["wind_mps"] = "0"
    calm = tmp_path / "calm.csv"
    text = [*head, ",".join(columns), *(",".join(row.values()) for row in rows)]
    calm.write_text("\n".join(text) + "\n", encoding="utf-8")
    (flight.parent / WINDS.name).unlink()
    code, out, _ = farglide("plan", flight, "--winds", calm, "--json", *FEW)
    assert code == 0
    # With no wind but the doubt about it, the balloon stays near; with the file's it goes 58 km.
    assert strictly_read(out)["ascent"]["farthest_km"] < 5.0


def test_old_winds_are_refused_and_with_the_key_taken_with_wider_doubt(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    # The demo's winds are of 09:00 UTC and its launch of 09:40; five hours before that is 04:40.
    changed(flight.parent / WINDS.name, "T09:00:00Z", "T04:40:00Z")
    said = farglide("plan", flight, "--out", tmp_path / "out", *FEW)
    assert_refused(
        said, "time: is 5.0 h from the launch; 3 h is accepted", "accept_age_h = 5", progress=True
    )
    assert not (tmp_path / "out").exists()
    changed(flight, "accept_age_h = 3", "accept_age_h = 5")
    # so that the wind alone spreads
    changed(flight, "ascent_ratio = 0.05", "ascent_ratio = 0\nascent_band_ratio = 0")
    code, old, _ = farglide("plan", flight, "--json", *FEW)
    assert code == 0
    changed(flight.parent / WINDS.name, "T04:40:00Z", "T09:00:00Z")
    fresh = farglide("plan", flight, "--json", *FEW)[1]

    def widest(text: str) -> float:
        track = strictly_read(text)["ascent"]["track"]  # while all are whole
        return float(next(p["spread_m"] for p in track if p["after_launch_s"] >= 3600.0))

    def drift(age_h: float) -> float:
        """Return how far a rise of 20 km drifts off: errors of a depth averaged over its height."""
        doubt = wind_doubt(Apart(age_s=3600.0 * age_h))
        # half of what a wind adds along itself falls on each component
        more_mps = math.sqrt(0.5) * doubt.deep_ratio * rms_wind_mps(20_000.0)
        deep_mps = math.hypot(doubt.deep_mps, more_mps)
        layers = (doubt.shallow_mps, doubt.shallow_depth_m), (deep_mps, doubt.deep_depth_m)
        return sum(mps**2 * depth * (1.0 - depth / 20_000.0) for mps, depth in layers) ** 0.5

    assert widest(old) / widest(fresh) == pytest.approx(drift(5.0) / drift(2.0 / 3.0), rel=0.05)
    assert strictly_read(old)["wind_age_s"] == 5.0 * 3600.0


def test_a_pack_gives_the_same_answer_after_its_files_are_gone(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    code, from_files, _ = farglide("plan", flight, "--json", *FEW)
    assert code == 0
    pack = tmp_path / "pack"
    code, out, err = farglide("gather", flight, "--pack", pack)
    assert (code, err) == (0, "")
    assert f"farglide plan --pack {pack}" in out
    assert files_below(pack) == [GROUND.name, "flight.toml", "pack.json", "winds.json"]
    assert (pack / "flight.toml").read_bytes() == flight.read_bytes()
    shutil.rmtree(flight.parent)
    code, from_pack, _ = farglide("plan", "--pack", pack, "--json", *FEW)
    assert code == 0
    assert from_pack == from_files


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


def bad_file(tmp_path: Path, kind: str) -> Path:
    """Return a flight file that is none."""
    path = tmp_path / "bad.toml"
    if kind == "folder":
        path.mkdir()
    elif kind != "missing":
        contents = {
            "binary": bytes(range(256)) * 8,
            "empty": b"",
            "prose": b"We launch on Sunday.\n",
            "half": DEMO.read_bytes()[:900],
        }
        path.write_bytes(contents[kind])
    return path


@pytest.mark.parametrize("kind", ["missing", "folder", "binary", "empty", "prose", "half"])
@pytest.mark.parametrize("command", ["plan", "gather"])
def test_a_file_that_is_no_flight_is_refused(
    farglide: Said, tmp_path: Path, kind: str, command: str
) -> None:
    path = bad_file(tmp_path, kind)
    target = ("--out" if command == "plan" else "--pack", tmp_path / "out")
    assert_refused(farglide(command, path, *target), str(path), progress=True)
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("contents", "words"),
    [
        (None, "No such file"),
        (b"", "calm.csv"),
        (b"\x00\x01\x02" * 300, "calm.csv"),
        (b"gph_m,p_hpa\n0,1013\n100,1001\n", "wind"),
        (b"GRIB" + bytes(200), "calm.csv"),
        (b"BUFR" + bytes(200), "calm.csv"),
        (b"CDF\x01" + bytes(200), "calm.csv"),
    ],
)
def test_winds_that_are_none_are_refused(
    farglide: Said, flight: Path, tmp_path: Path, contents: bytes | None, words: str
) -> None:
    winds = tmp_path / "calm.csv"
    if contents is not None:
        winds.write_bytes(contents)
    said = farglide("plan", flight, "--winds", winds, "--out", tmp_path / "out", *FEW)
    assert_refused(said, words, progress=True)
    assert not (tmp_path / "out").exists()


def test_winds_named_nowhere_are_asked_for(farglide: Said, flight: Path) -> None:
    changed(flight, 'file = "amber-evening-winds.csv"\n', "")
    changed(flight, "accept_age_h = 3\naccept_distance_km = 100\n", "")
    changed(flight, "[wind]\n", "")
    said = farglide("plan", flight, *FEW)
    assert_refused(said, "--winds is missing", "as file = in [wind]", progress=True)


def test_winds_named_in_the_file_that_are_not_there_are_named(farglide: Said, flight: Path) -> None:
    (flight.parent / WINDS.name).unlink()
    assert_refused(farglide("plan", flight, *FEW), str(flight.parent / WINDS.name), progress=True)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--draws", "10"), "--draws is 10; allowed: 50 to 20 000"),
        (("--draws", "2000000"), "--draws is 2000000"),
        (("--draws", "many"), "--draws"),
        (("--seed", "-1"), "--seed is -1; allowed: 0 to 2**63 - 1"),
        (("--seed", str(2**63)), "--seed is 9223372036854775808"),
        (("--colour",), "--colour"),
    ],
)
def test_options_out_of_range_are_refused_by_their_names(
    farglide: Said, flight: Path, tmp_path: Path, options: tuple[str, ...], words: str
) -> None:
    said = farglide("plan", flight, "--out", tmp_path / "out", *options)
    assert_refused(said, words, progress=True)
    assert not (tmp_path / "out").exists()


def test_out_that_is_a_file_is_refused_and_left_as_it_is(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    taken = tmp_path / "taken"
    taken.write_text("mine", encoding="utf-8")
    assert_refused(farglide("plan", flight, "--out", taken, *FEW), "--out", progress=True)
    below = farglide("plan", flight, "--out", taken / "deeper", *FEW)
    assert_refused(below, "--out", "cannot be written", progress=True)
    assert taken.read_text(encoding="utf-8") == "mine"
    assert_refused(farglide("gather", flight, "--pack", taken), str(taken), progress=True)
    assert taken.read_text(encoding="utf-8") == "mine"


def test_when_one_of_the_two_cannot_be_written_neither_is(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    (out / "brief.html").mkdir(parents=True)
    code, told, err = farglide("plan", flight, "--out", out, *FEW)
    assert code == 2
    assert "--out" in err
    assert "cannot be written" in err
    assert "Traceback" not in err
    # what was known by then is printed, and stays
    assert told.startswith("Launch from Harrowend strip at 16:40, release between ")
    assert files_below(out) == ["brief.html"]


def test_no_file_and_no_pack_is_told(farglide: Said, tmp_path: Path) -> None:
    assert_refused(farglide("plan"), "FILE is missing", "farglide new", progress=True)
    none = farglide("plan", "--pack", tmp_path / "none")
    assert_refused(none, "holds no pack. Make one with: farglide gather", progress=True)
    assert not (tmp_path / "none").exists()


def test_a_damaged_pack_is_refused(farglide: Said, flight: Path, tmp_path: Path) -> None:
    pack = tmp_path / "pack"
    assert farglide("gather", flight, "--pack", pack)[0] == 0
    winds = pack / "winds.json"
    winds.write_text(winds.read_text(encoding="utf-8")[:500], encoding="utf-8")
    assert_refused(farglide("plan", "--pack", pack, *FEW), "Gather it again", progress=True)


def test_all_six_problems_of_a_flight_file_are_told_at_once(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    for old, new in (
        ("lat_deg = -46.5\n", "lat_deg = -146.5\n"),
        ("mass_kg = 0.68", "mass_kg = 680"),
        ("top_mach = 0.55", 'top_mach = "slow"'),
        ("reaction_s = 10", "reaction_min = -1"),
        ("open_ratio = 0.9\n", "open_ratio = 90\n"),
        ('land = "held"', 'land = "perhaps"'),
    ):
        changed(flight, old, new)
    code, out, err = farglide("plan", flight, "--out", tmp_path / "out", *FEW)
    assert_refused((code, out, err), "mine.toml: 6 problems", progress=True)
    for words in (
        "[launch] lat_deg", "[glider] mass", "[glider] top_mach", "[crew] reaction",
        "[wish] open_ratio", "[permissions] land",
    ):  # fmt: skip
        assert words in err
    assert not (tmp_path / "out").exists()


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
    assert max(map(len, done.stdout.splitlines()[:-1])) <= 100
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


def test_a_ground_that_is_not_there_is_named_before_anything_is_written(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    (flight.parent / GROUND.name).unlink()
    pack = tmp_path / "pack"
    assert_refused(farglide("gather", flight, "--pack", pack), "[terrain] files", GROUND.name)
    assert not pack.exists()
    assert_refused(farglide("links", flight), GROUND.name)


def test_other_winds_than_those_of_a_pack_are_planned_with_its_flight(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    pack = tmp_path / "pack"
    assert farglide("gather", flight, "--pack", pack)[0] == 0
    winds = tmp_path / "other.csv"
    shutil.copyfile(flight.parent / WINDS.name, winds)
    changed(winds, "invented winds", "newer winds")
    changed(flight, 'name = "Amber evening"', 'name = "Another evening"')
    code, out, _ = farglide("plan", "--pack", pack, "--winds", winds, "--json", *FEW)
    assert code == 0
    told = strictly_read(out)
    assert told["name"] == "Amber evening"
    assert "newer winds" in told["wind_origin"]


def test_a_launch_years_away_stands_beside_the_answer(
    farglide: Said, flight: Path, monkeypatch: pytest.MonkeyPatch, today: float
) -> None:
    monkeypatch.setattr("farglide.cli.main.now_t_s", lambda: today - 3.0 * 365.25 * 86_400.0)
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
