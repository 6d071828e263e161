"""The pack show command: parts, winds, ages, what is missing, and what is damaged."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.around import around

from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.packshow import pack_shown
from farglide.cli.plan import DEMO
from farglide.errors import SourceError
from farglide.gather.packing import pack_into

from .conftest import Said

HOUR_S = 3600.0


@pytest.fixture(scope="module")
def launch_s() -> float:
    return flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))[0].sortie.launch.t_s


def gathered(folder: Path, run_h: float = -30.0, members: bool = False) -> Path:
    """Gather the demo with a forecast around it, of a run so many hours from the launch."""
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    launch = flight.sortie.launch
    grid = replace(
        around(pack.sounding, launch, 1.0, 0.1), run_t_s=launch.t_s + HOUR_S * run_h,
        origin="made up", licence="none", attribution="nobody",
    )  # fmt: skip
    air = replace(pack.sounding, around=grid, members=grid if members else None)
    pack_into(flight, replace(pack, sounding=air), folder)
    return folder


def test_winds_are_told_with_run_times_levels_and_area(tmp_path: Path, launch_s: float) -> None:
    found = pack_shown(gathered(tmp_path / "pack"), launch_s - 20.0 * HOUR_S)
    (winds,) = found.winds
    assert (winds.what, winds.origin, winds.licence) == ("forecast", "made up", "none")
    assert winds.run_t_s == launch_s - 30.0 * HOUR_S
    assert found.newer_t_s == launch_s - 19.0 * HOUR_S
    assert winds.first_t_s == launch_s - HOUR_S
    assert winds.last_t_s == launch_s + 7.0 * HOUR_S
    assert (winds.n_times, winds.n_members) == (9, 1)
    assert (winds.south_deg, winds.north_deg) == (-50.5, -42.5)
    assert winds.top_amsl_m is not None
    assert 30e3 < winds.top_amsl_m < 50e3
    assert found.missing[0].startswith("No members of an ensemble")
    assert {one.state for one in found.parts if one.name == "forecast.npy"} == {"there, not read"}


def test_what_the_flight_wants_and_the_pack_lacks_is_told(tmp_path: Path) -> None:
    folder = gathered(tmp_path / "pack", members=True)
    file = folder / "flight.toml"
    text = file.read_text(encoding="utf-8")
    late = text.replace("2027-01-23T16:40", "2027-01-23T22:30").replace("09:40:00Z", "15:30:00Z")
    file.write_text(late, encoding="utf-8")
    told = "\n".join(pack_shown(folder, 0.0).missing)
    assert "edited after it was gathered" in told
    assert "on the last winds are held, with more doubt" in told
    assert "No members" not in told


def test_a_byte_that_changed_is_found_where_all_are_read(tmp_path: Path) -> None:
    folder = gathered(tmp_path / "pack")
    assert pack_shown(folder, 0.0, verify=True).is_verified
    values = np.load(folder / "forecast.npy", mmap_mode="r+")
    values[0, 5, 0, 0, 0, 0] += 1.0
    values.flush()
    pack_shown(folder, 0.0)  # not read
    with pytest.raises(SourceError, match=r"forecast\.npy"):
        pack_shown(folder, 0.0, verify=True)
    (folder / "winds.json").write_text("{}", encoding="utf-8")
    with pytest.raises(SourceError, match=r"winds\.json"):
        pack_shown(folder, 0.0)
    with pytest.raises(SourceError, match="no pack"):
        pack_shown(tmp_path, 0.0)


def test_as_a_person_asks_it(said: Said, tmp_path: Path) -> None:
    folder = gathered(tmp_path / "pack")
    code, text, _ = said("pack", "show", folder)
    assert code == 0
    assert "26 levels" in text or "levels up to" in text
    assert "Area: 50.5° S to 42.5° S, 102° E to 114° E." in text
    code, text, _ = said("pack", "show", folder, "--verify", "--json")
    assert code == 0
    assert json.loads(text)["is_verified"] is True
    code, _, err = said("pack", "show", tmp_path / "nowhere")
    assert code == 2
    assert "no pack" in err or "not" in err


def test_winds_of_one_place_have_no_run(said: Said, tmp_path: Path) -> None:
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    pack_into(flight, pack, tmp_path / "pack")
    code, text, _ = said("pack", "show", tmp_path / "pack")
    assert code == 0
    assert "Winds of one place" in text
    assert "No run is told" in text
