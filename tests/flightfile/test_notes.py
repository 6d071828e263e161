"""Notes on a flight file: files that are not there, and powers that look like another unit."""

from pathlib import Path

import pytest

from farglide.flightfile.flightfile import read_flight_file
from farglide.flightfile.notes import missing_notes

from ..conftest import DEMO

GROUND = 'files = ["amber-evening-ground.tif"]'
SENDER = "power_w = 0.8"
PATTERN = """sender_antenna = "measured"
sender_pointing = "down"
sender_pattern_file = "masts/whip.csv"
"""
MORE = """
[places]
files = ["area.geojson"]

[[barriers]]
name = "wood"
file = "wood.kml"
"""


def changed(folder: Path, **change: str) -> Path:
    """Write the demo with one link's power, or its gain, said otherwise, and lines added."""
    text = DEMO.read_text(encoding="utf-8")
    for old, new in ((SENDER, change.get("power")), ("sender_gain_dbi = 2 ", change.get("gain"))):
        if new is not None:
            assert text.count(old) >= 1
            text = text.replace(old, f"{new}\n# ", 1)
    path = folder / "mine.toml"
    path.write_text(text + change.get("more", ""), encoding="utf-8")
    return path


def test_each_file_that_is_not_there_is_told_once_under_the_name_it_has(tmp_path: Path) -> None:
    path = changed(tmp_path, gain=PATTERN, more=MORE)
    sortie = read_flight_file(path).sortie
    assert list(missing_notes(path.parent, sortie)) == [
        "The ground amber-evening-ground.tif is not there yet.",
        "The places area.geojson are not there yet.",
        "The barrier wood.kml is not there yet.",
        "The pattern masts/whip.csv is not there yet.",
    ]
    for name in ("amber-evening-ground.tif", "area.geojson", "wood.kml"):
        (tmp_path / name).touch()
    (tmp_path / "masts" / "whip.csv").mkdir(parents=True)  # a folder is no file
    (told,) = missing_notes(path.parent, sortie)
    assert "masts/whip.csv" in told


def test_a_file_named_by_its_full_path_is_told_by_it(tmp_path: Path) -> None:
    far = tmp_path / "far" / "ground.tif"
    near = tmp_path / "near"
    near.mkdir()
    path = changed(near)
    text = path.read_text(encoding="utf-8").replace(GROUND, f'files = ["{far}", "{far}"]')
    path.write_text(text, encoding="utf-8")
    told = list(missing_notes(path.parent, read_flight_file(path).sortie))
    assert told == [f"The ground {far} is not there yet."]


@pytest.mark.parametrize(
    ("power", "words"),
    [
        ("power_w = 19.9", ""),
        ("power_w = 20", "Then write power_w = 0.1."),
        # 33 dBm is 10^0.3 W
        ("power_w = 33", "Link picture sends with 33 W. Is that dBm? Then write power_w = 2."),
        ("power_mw = 800", ""),
    ],
)
def test_a_power_that_looks_like_dbm_is_asked_about(tmp_path: Path, power: str, words: str) -> None:
    notes = " ".join(read_flight_file(changed(tmp_path, power=power)).notes)
    assert ("dBm" in notes) is bool(words)
    assert words in notes


@pytest.mark.parametrize(
    ("eirp", "words"),
    [
        ("eirp_dbm = 10", ""),
        ("eirp_dbm = 5", "Link picture radiates 5 dBm, 0.00316 W. Is that watts? Then write"),
        ("eirp_dbm = 5", "Then write eirp_w = 5."),
        ("eirp_w = 5", ""),
    ],
)
def test_an_eirp_that_looks_like_watts_is_asked_about(
    tmp_path: Path, eirp: str, words: str
) -> None:
    text = DEMO.read_text(encoding="utf-8")
    for key in ("power_w = 0.8", "sender_loss_db", "sender_gain_dbi = 2 "):
        text = text.replace(key, f"# {key}", 1)
    path = tmp_path / "mine.toml"
    path.write_text(text.replace("# power_w", f"{eirp}\n# power_w", 1), encoding="utf-8")
    notes = " ".join(read_flight_file(path).notes)
    assert ("watts" in notes) is bool(words)
    assert words in notes


def noted(tmp_path: Path, old: str, new: str) -> str:
    text = DEMO.read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / "flight.toml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return " ".join(read_flight_file(path).notes)


def test_a_field_height_in_feet_is_pointed_out(tmp_path: Path) -> None:
    assert "feet" not in noted(tmp_path, "amsl_m = 265", "amsl_m = 266")
    assert "as feet it would be 265 m. Is it feet?" in noted(
        tmp_path, "amsl_m = 265", "amsl_m = 869"
    )
    # a hill is no foot: 869 m would then stand beside a launch at 700 m
    text = DEMO.read_text(encoding="utf-8").replace("amsl_m = 265", "amsl_m = 900")
    path = tmp_path / "hill.toml"
    path.write_text(text.replace("amsl_m = 240", "amsl_m = 550"), encoding="utf-8")
    assert "feet" not in " ".join(read_flight_file(path).notes)


@pytest.mark.parametrize(
    ("offset", "strange"),
    [("+07:00", False), ("-07:00", True), ("+04:00", False), ("+11:00", False), ("-12:00", True)],
)
def test_a_clock_far_from_its_sun_is_pointed_out(
    tmp_path: Path, offset: str, strange: bool
) -> None:
    # the demo lies at 108 degrees east: the sun is 7.2 h ahead of UTC
    told = noted(tmp_path, "16:40:00+07:00", f"16:40:00{offset}")
    assert ("Check the sign of the offset" in told) is strange


WHIP = 'sender_antenna = "quarter wave"'


@pytest.mark.parametrize(
    ("gain", "is_told"),
    [
        (WHIP, True),
        (f'{WHIP}\nsender_pointing = "up"', True),
        (f'{WHIP}\nsender_pointing = "down"', False),
        ('sender_antenna = "dipole"', False),
    ],
)
def test_a_quarter_wave_that_shades_the_ground_is_told_at_once(
    tmp_path: Path, gain: str, is_told: bool
) -> None:
    notes = " ".join(read_flight_file(changed(tmp_path, gain=gain)).notes)
    remedy = "Link picture: the quarter wave on the glider points up, so the metal at its foot"
    assert (remedy in notes) is is_told
    assert ('sender_pointing = "down"' in notes) is is_told


def test_a_quarter_wave_on_the_car_may_point_up(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8")
    path = tmp_path / "mine.toml"
    car = text.replace("receiver_gain_dbi = 18 ", 'receiver_antenna = "quarter wave"\n# ')
    path.write_text(car, encoding="utf-8")
    assert "quarter wave" not in " ".join(read_flight_file(path).notes)


def test_a_mach_limit_that_nobody_stated_is_told(tmp_path: Path) -> None:
    assert not [note for note in read_flight_file(DEMO).notes if "top_mach" in note]
    path = tmp_path / "mine.toml"
    text = DEMO.read_text(encoding="utf-8").replace("top_mach = 0.55\n", "")
    path.write_text(text, encoding="utf-8")
    (note,) = [note for note in read_flight_file(path).notes if "top_mach" in note]
    # 0.87 - 0.10 - 0.1 x 0.8 x 0.85 - 0.108
    assert note == (
        "No top Mach number (top_mach) is stated: 0.59 stands in, a guess for a plain wing that "
        "lifts 0.85 at most."
    )


@pytest.mark.parametrize(
    ("doubt", "zeros"),
    [
        ("deep_wind_mps = 0", "deep_wind_ratio = 0 and shallow_wind_mps = 0 and beyond_mps = 0"),
        ("deep_wind_kt = 0\ndeep_wind_ratio = 0.02\nbeyond_mps = 0",
         "deep_wind_ratio = 0 and shallow_wind_mps = 0"),
        ("deep_wind_mps = 0\ndeep_wind_ratio = 0\nshallow_wind_mps = 0", "beyond_mps = 0"),
        ("deep_wind_mps = 0\ndeep_wind_ratio = 0\nshallow_wind_mps = 0\nbeyond_mps = 0", ""),
        ("deep_wind_ratio = 0", ""),
        ("deep_wind_mps = 1", ""),
    ],
)  # fmt: skip
def test_winds_that_are_not_exact_yet_are_told(tmp_path: Path, doubt: str, zeros: str) -> None:
    path = changed(tmp_path)
    text = path.read_text(encoding="utf-8")
    assert text.count("\n[doubt]\n") == 1
    path.write_text(text.replace("\n[doubt]\n", f"\n[doubt]\n{doubt}\n"), encoding="utf-8")
    told = [note for note in read_flight_file(path).notes if "exact" in note]
    assert len(told) == bool(zeros)
    for note in told:
        assert note.startswith("With deep_wind_mps = 0 the winds are not exact yet: they may still")
        assert note.endswith(f"For exact winds write {zeros} too.")
