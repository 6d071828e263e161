"""`farglide plan` refuses what it cannot use, by name, and writes nothing then."""

from pathlib import Path

import pytest

from farglide.cli.plan import DEMO

from .commands import FEW, Said, assert_refused, changed, files_below


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


def test_out_that_holds_a_folder_by_the_name_of_a_file_is_refused_before_the_work(
    farglide: Said, flight: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    (out / "brief.html").mkdir(parents=True)
    said = farglide("plan", flight, "--out", out, *FEW)
    assert_refused(said, "--out", "brief.html in it is a folder", progress=True)
    assert "flying the draws" not in said[2]
    assert files_below(out) == ["brief.html"]


def test_a_pack_is_never_written_into(farglide: Said, flight: Path, tmp_path: Path) -> None:
    pack = tmp_path / "pack"
    assert farglide("gather", flight, "--pack", pack)[0] == 0
    before = files_below(pack)
    for out in (pack, pack / "out"):
        said = farglide("plan", "--pack", pack, "--out", out, *FEW)
        assert_refused(said, "--out", "a folder that is no pack", progress=True)
        assert "flying the draws" not in said[2]
    assert files_below(pack) == before


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
