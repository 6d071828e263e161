"""What `farglide plan` refuses, in one message that says what to do."""

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from farglide.air.doubt import Apart, wind_doubt
from farglide.cli.plan import DEMO

from .conftest import (
    FEW,
    GROUND,
    WINDS,
    Said,
    assert_refused,
    changed,
    files_below,
    strictly_read,
)


def rms_wind_mps(to_m: float) -> float:
    """Return the root mean square speed of the demo's winds up to a height."""
    with WINDS.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    height_m, wind_mps = ([float(row[name]) for row in rows] for name in ("amsl_m", "wind_mps"))
    even_mps = np.interp(np.arange(height_m[0], to_m, 100.0), height_m, wind_mps)
    return float((even_mps**2).mean() ** 0.5)


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


def test_a_ground_that_is_not_there_is_named_before_anything_is_written(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    (flight.parent / GROUND.name).unlink()
    pack = tmp_path / "pack"
    assert_refused(farglide("gather", flight, "--pack", pack), "[terrain] files", GROUND.name)
    assert not pack.exists()
    assert_refused(farglide("links", flight), GROUND.name)
