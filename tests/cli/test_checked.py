"""What only a plan refused, a check refuses too: all of it in one go, with exit code 2."""

import shutil
from pathlib import Path

import pytest

from farglide.cli.check import check_text
from farglide.cli.checked import checked
from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import read_flight_file

from ..conftest import DEMO
from .conftest import Said

FILES = ("amber-evening-winds.csv", "amber-evening-ground.tif")
YEAR_S = 365.25 * 86_400.0


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    """Return the demo in a folder of its own."""
    for name in FILES:
        shutil.copyfile(DEMO.with_name(name), tmp_path / name)
    return Path(shutil.copyfile(DEMO, tmp_path / "mine.toml"))


def changed(path: Path, *pairs: tuple[str, str]) -> None:
    text = path.read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    path.write_text(text, encoding="utf-8")


def refused(path: Path) -> list[str]:
    with pytest.raises(FlightFileError) as caught:
        checked(read_flight_file(path))
    return [str(problem) for problem in caught.value.problems]


def test_the_demo_has_nothing_to_refuse_or_to_ask(flight: Path) -> None:
    assert checked(read_flight_file(flight)).notes == ()


def test_all_that_a_plan_would_refuse_is_told_in_one_go(flight: Path) -> None:
    changed(
        flight,
        ("accept_age_h = 3", "accept_age_h = 0.1"),
        ("neck_lift_kg = 2.15", "burst_height_amsl_m = 9000"),
        ("neck_lift_spread_kg = 0 ", "# "),
        ("wanted_amsl_m = 20000", "wanted_amsl_m = 8000"),
    )
    age, burst = refused(flight)
    assert "is 0.7 h from the launch; 0.1 h is accepted." in age
    wanted = "The burst height wanted (burst_height_amsl_m) is 9000 m, which no neck lift that"
    assert wanted in burst


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        # a clock two hours off the winds
        ("launch_at = 2027-01-23T16:40:00+07:00", "launch_at = 2027-01-23T22:40:00+07:00",
         "is 6.7 h from the launch; 3 h is accepted"),
        ("lon_deg = 108.623532", "lon_deg = 111.6", "do not cover"),
    ],
)  # fmt: skip
def test_each_of_these_is_refused_with_its_reason(
    flight: Path, old: str, new: str, words: str
) -> None:
    changed(flight, (old, new))
    told = refused(flight)
    assert any(words in one for one in told), told


def test_a_budget_that_fits_no_way_on_earth_is_refused(flight: Path) -> None:
    worse = "needed_ratio_db = 60\nsender_loss_db = 30"
    changed(flight, ("needed_ratio_db = 9", worse), ("gain_dbi = 18 ", "gain_dbi = -30\n# "))
    changed(flight, ("power_w = 0.8", "power_mw = 1"))
    (told,) = refused(flight)
    assert told.startswith("budget of link picture: is ")


def test_a_file_that_is_damaged_is_refused_and_one_that_is_not_there_is_noted(
    flight: Path, said: Said
) -> None:
    (flight.parent / FILES[0]).write_text("no winds at all", encoding="utf-8")
    assert any(FILES[0] in one for one in refused(flight))
    assert said("check", flight)[0] == 2
    (flight.parent / FILES[0]).unlink()
    code, out, _ = said("check", flight)
    assert code == 0
    assert "The winds amber-evening-winds.csv are not there yet." in out
    assert "What it comes to in standard air" in out


def test_a_launch_place_in_the_sea_is_refused_without_winds(flight: Path) -> None:
    text = flight.read_text(encoding="utf-8")
    place = '\n[[launch_places]]\nname = "Gollan"\nlat_deg = -46.68\nlon_deg = 108.3\n'
    flight.write_text(text + place, encoding="utf-8")
    (told,) = refused(flight)
    assert "lies in Gollan Wood" in told


def test_what_a_plan_asks_a_check_asks(flight: Path) -> None:
    changed(
        flight,
        (
            "lat_deg = -46.5\nlon_deg = 108.0\namsl_m = 240",
            "lat_deg = -46.5\nlon_deg = 108.0\namsl_m = 0",
        ),
        ('surface = "pasture"', 'surface = "pasture"\nlast_light = 15:30:00'),
        ('zone = "UTC+07:00"', 'zone = "America/Lima"'),
    )
    told = check_text(flight, read_flight_file(flight).sortie.launch.t_s - 4.0 * YEAR_S)
    words = " ".join(told.split())
    for asked in (
        "The launch Harrowend strip is stated 240 m under the ground of [terrain]",
        "The clock at the launch is -5 h from UTC",
        "The launch on Saturday 23 January 2027 is 4.0 years from now",
    ):
        assert asked in words


def test_fitted_numbers_are_called_fitted_and_are_no_guesses(flight: Path) -> None:
    changed(
        flight,
        ("drag_factor = 1.0 ", "mean_ascent_mps = 6.3\n# "),
        ("drag_factor_spread_ratio = 0\n", ""),
        ('typical = ["burst_diameter", "drag_factor", "early_burst"]',
         'typical = ["burst_diameter", "early_burst"]'),
        ("zero_lift_drag = 0.034", "glided_m = 425\nglided_from_agl_m = 50"),
    )  # fmt: skip
    told = check_text(flight)
    assert "  The drag curve is multiplied by" in told
    line = next(one for one in told.splitlines() if "drag curve is multiplied" in one)
    assert line.endswith(", fitted.")
    line = next(one for one in told.splitlines() if "drag coefficient without lift" in one)
    assert line.endswith(", fitted.")
    assert "balloon drag_factor" not in told
