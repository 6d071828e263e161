"""farglide gather, as a person runs it: what it says, and never does to a person's files."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from farglide.cli.plan import DEMO

Said = Callable[..., tuple[int, str, str]]
WINDS = DEMO.parent / "amber-evening-winds.csv"
GROUND = DEMO.with_name("amber-evening-ground.tif")


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    """Return the demo's flight file, its ground three folders up and named by its full path."""
    folder = tmp_path / "one" / "two" / "home"
    folder.mkdir(parents=True)
    for name in (WINDS, GROUND):
        shutil.copy(name, folder / name.name)
    text = DEMO.read_text(encoding="utf-8")
    (folder / "mine.toml").write_text(text, encoding="utf-8")
    return folder / "mine.toml"


def test_a_ground_three_folders_up_is_packed_and_left_alone(
    said: Said, flight: Path, tmp_path: Path
) -> None:
    (flight.parent / GROUND.name).rename(tmp_path / "dem.tif")
    text = flight.read_text(encoding="utf-8")
    answers = []
    for name in ("../../../dem.tif", str(tmp_path / "dem.tif")):
        flight.write_text(text.replace(GROUND.name, name), encoding="utf-8")
        pack = tmp_path / "packs" / f"pack{len(answers)}"
        code, out, err = said("gather", flight, "--pack", pack)
        assert (code, err) == (0, "")
        assert "dem.tif, the ground" in out
        assert (pack / "files" / "dem.tif").read_bytes() == GROUND.read_bytes()
        answers.append(pack)
    assert (tmp_path / "dem.tif").read_bytes() == GROUND.read_bytes()
    (tmp_path / "dem.tif").unlink()
    told = [said("fields", "--pack", pack) for pack in answers]
    assert [code for code, _, _ in told] == [0, 0]
    assert told[0][1] == told[1][1]


def test_a_second_gather_replaces_the_pack_and_says_so(
    said: Said, flight: Path, tmp_path: Path
) -> None:
    pack = tmp_path / "pack"
    assert "takes the place" not in said("gather", flight, "--pack", pack)[1]
    assert "takes the place of the pack that was there" in said("gather", flight, "--pack", pack)[1]
    (pack / "notes.txt").write_text("mine")
    code, out, err = said("gather", flight, "--pack", pack)
    assert (code, out) == (2, "")
    assert "It holds notes.txt, not as any pack left it. Take it out, or choose another" in err
    assert (pack / "notes.txt").read_text() == "mine"


def test_a_pack_is_renewed_from_its_own_edited_flight_file(
    said: Said, flight: Path, tmp_path: Path
) -> None:
    pack = tmp_path / "pack"
    assert said("gather", flight, "--pack", pack)[0] == 0
    own = pack / "flight.toml"
    own.write_text(own.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
    assert said("gather", flight, "--pack", pack)[0] == 2  # it would lose the edits
    assert said("gather", own, "--pack", pack, "--winds", WINDS)[0] == 0
    assert own.read_text(encoding="utf-8").endswith("# mine\n")
    assert "flight.toml: as gathered" in said("check", pack)[1]
