"""What a command line names is read: files beside the flight file, a pack, or winds of its own."""

import math
import shutil
from pathlib import Path

import pytest

from farglide.air.doubt import Apart, wind_doubt

from .commands import (
    FEW,
    GROUND,
    WINDS,
    Said,
    assert_refused,
    changed,
    files_below,
    rms_wind_mps,
    strictly_read,
)


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


def test_winds_named_nowhere_are_asked_for(farglide: Said, flight: Path) -> None:
    changed(flight, 'file = "amber-evening-winds.csv"\n', "")
    changed(flight, "accept_age_h = 3\naccept_distance_km = 100\n", "")
    changed(flight, "[wind]\n", "")
    said = farglide("plan", flight, *FEW)
    assert_refused(said, "--winds is missing", "as file = in [wind]", progress=True)


def test_winds_named_in_the_file_that_are_not_there_are_named(farglide: Said, flight: Path) -> None:
    (flight.parent / WINDS.name).unlink()
    assert_refused(farglide("plan", flight, *FEW), str(flight.parent / WINDS.name), progress=True)


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
