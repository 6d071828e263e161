"""The coverage command, as a person runs it: words, picture, layer, and refusals."""

import json
import shutil
from importlib.resources import files
from pathlib import Path

import pytest

from farglide.cli.coverage import coverage_asked, coverage_text, level_of
from farglide.errors import InputError, SourceError

from .conftest import Said

ASSETS = Path(str(files("farglide.flightfile") / "assets"))
KNAP = ("--link", "picture", "--stand", "Wether Knap")


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    """Return a copy of the demo alone in a folder, without its winds."""
    folder = tmp_path / "flight"
    folder.mkdir()
    for name in ("amber-evening.toml", "amber-evening-ground.tif"):
        shutil.copy(ASSETS / name, folder / name)
    return folder / "amber-evening.toml"


def test_words_picture_and_layer(
    said: Said,
    flight: Path,
    tmp_path: Path,
) -> None:
    out = tmp_path / "a" / "b"
    code, text, err = said("coverage", flight, *KNAP, "--height-km", "26", "--out", out)
    assert code == 0
    assert text.startswith("Amber evening: picture at Wether Knap, glider 26.0 km above sea level")
    assert text.count("edge of the area, with 1 dB margin there") == 8
    assert "Ground: elevation amber-evening-ground.tif" in text
    assert "looking round the stand" in err
    assert sorted(one.name for one in out.iterdir()) == [
        "coverage.geojson", "coverage.png", "coverage.svg",
    ]  # fmt: skip
    assert (out / "coverage.png").read_bytes()[:4] == b"\x89PNG"
    layer = json.loads((out / "coverage.geojson").read_text(encoding="utf-8"))
    assert [one["properties"]["name"] for one in layer["features"]] == [
        "Wether Knap", "3 to 10 dB margin", "0 to 3 dB margin",
    ]  # fmt: skip


def test_low_over_the_ground_the_ridge_ends_it(said: Said, flight: Path) -> None:
    """Over home the picture is lost below 391 m, so at 300 m the ridge ends it before home."""
    code, text, _ = said("coverage", flight, *KNAP, "--above-ground-m", "300")
    assert code == 0
    (line,) = [one for one in text.splitlines() if one.strip().startswith("north-west")]
    words = line.split()
    assert words[1:4:2] == ["to", "km"]
    assert 10.0 < float(words[2]) < 23.5
    assert line.endswith("the ground")


def test_without_terrain(said: Said, flight: Path) -> None:
    text = flight.read_text(encoding="utf-8")
    bare = text.replace('[terrain]\nfiles = ["amber-evening-ground.tif"]\n', "")
    assert bare != text
    flight.write_text(bare, encoding="utf-8")
    code, text, _ = said(
        "coverage", flight, *KNAP, "--height-km", "26", "--radius-km", "90",
    )  # fmt: skip
    assert code == 0
    assert "Flat ground assumed, 240 m above sea level" in text
    assert text.count("the distance") == 8


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((*KNAP, "--height-km", "43"), "--height-km is 43 km; allowed: 0 to 42 km"),
        ((*KNAP, "--height-km", "nan"), "--height-km is nan km"),
        (KNAP, "--height-km is missing; allowed: one of --height-km and --above-ground-m"),
        ((*KNAP, "--height-km", "1", "--above-ground-m", "1"), "given with --above-ground-m"),
        ((*KNAP, "--above-ground-m", "-3"), "--above-ground-m is -3 m; allowed: 0 to 33000 m"),
        ((*KNAP, "--height-km", "9", "--radius-km", "500"), "--radius-km is 500 km; allowed: 1 to"),
        ((*KNAP, "--height-km", "9", "--less-db", "-6"), "--less-db is -6 dB; allowed: 0 to 60 dB"),
        (
            ("--link", "vid", "--stand", "Stile Gap", "--height-km", "9"),
            "link is 'vid'; allowed: picture, command.",
        ),
        (
            ("--link", "picture", "--stand", "Knap", "--height-km", "9"),
            "stand is 'Knap'; allowed: Harrowend strip, Wether Knap, Stile Gap.",
        ),
    ],
)
def test_refusals(
    said: Said,
    flight: Path,
    arguments: tuple[str, ...],
    words: str,
) -> None:
    code, text, err = said("coverage", flight, *arguments)
    assert (code, text) == (2, "")
    assert words in err


def test_files_that_do_not_serve(said: Said, flight: Path) -> None:
    high = (*KNAP, "--height-km", "9")
    code, text, err = said("coverage", flight, *high, "--out", flight)
    assert (code, text) == (2, "")
    assert "This is a file. Choose another name." in err
    ground = flight.parent / "amber-evening-ground.tif"
    ground.write_bytes(b"no raster")
    code, text, err = said("coverage", flight, *high)
    assert (code, text) == (2, "")
    assert "amber-evening-ground.tif" in err
    text = flight.read_text(encoding="utf-8").replace('name = "Wether Knap"', 'name = "Elsewhere"')
    flight.write_text(text, encoding="utf-8")
    code, _, err = said("coverage", flight, *high)
    assert code == 2
    assert "allowed: Harrowend strip, Elsewhere, Stile Gap" in err


def with_a_whip(flight: Path) -> None:
    """Measure the pattern of the antenna that the picture is sent with."""
    rows = "angle_deg,gain_dbi\n0,-9\n30,-6\n60,0\n90,2\n120,0\n150,-6\n180,-9\n"
    (flight.parent / "whip.csv").write_text(rows, encoding="utf-8")
    whip = 'sender_antenna = "measured"\nsender_pointing = "down"\n'
    text = flight.read_text(encoding="utf-8")
    changed = text.replace("sender_gain_dbi = 2 ", f'{whip}sender_pattern_file = "whip.csv"\n# ', 1)
    assert changed != text
    flight.write_text(changed, encoding="utf-8")


def test_a_measured_antenna_is_read(said: Said, flight: Path) -> None:
    with_a_whip(flight)
    code, text, err = said("coverage", flight, *KNAP, "--height-km", "26")
    assert code == 0, err
    # by hand, 6.5 km off: 14.3 deg from its axis it gains -7.6 dBi, 9.6 dB less than its peak, and
    # 26.2 km away 20 log(80 / 26.2) = 9.7 dB are in hand
    assert text.count("6.5 to 60.0 km") == 8
    (flight.parent / "whip.csv").unlink()
    code, text, err = said("coverage", flight, *KNAP, "--height-km", "26")
    assert (code, text) == (2, "")
    assert "whip.csv" in err


# from a pack


def told_of(file: Path | None, pack: Path | None) -> str:
    asked = coverage_asked(level_of(26.0, None), "picture", "Wether Knap", 0.0, 60.0)
    return coverage_text(asked, file, pack, None, print)


def test_a_pack_alone_serves(said: Said, flight: Path, tmp_path: Path) -> None:
    with_a_whip(flight)
    alone = told_of(flight, None)
    pack, winds = tmp_path / "pack", ASSETS / "amber-evening-winds.csv"
    assert said("gather", flight, "--pack", pack, "--winds", winds)[0] == 0
    other = shutil.copytree(flight.parent, tmp_path / "other") / flight.name
    shutil.rmtree(flight.parent)
    assert told_of(None, pack) == alone
    text = other.read_text(encoding="utf-8").replace('name = "Amber evening"', 'name = "Mine"', 1)
    other.write_text(text, encoding="utf-8")
    assert told_of(other, pack).startswith("Mine: picture")


def test_neither_file_nor_pack_and_a_folder_without_one(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="FILE is missing; allowed: a flight file, or --pack DIR"):
        told_of(None, None)
    with pytest.raises(SourceError, match="holds no pack"):
        told_of(None, tmp_path)
