"""The demo flight: its values are those of its tables, and its file is what the script writes."""

import csv
import importlib.util
import math
import tomllib
from importlib.resources import files
from pathlib import Path
from types import ModuleType

import pytest
from pyproj import Geod

from farglide.flightfile.flightfile import read_flight_file
from farglide.flightfile.standins import DRAG_TABLE
from farglide.sortie.known import Known, Tag

ASSETS = Path(str(files("farglide.flightfile") / "assets"))
DEMO = ASSETS / "amber-evening.toml"
WINDS = ASSETS / "amber-evening-winds.csv"
SCRIPT = Path(__file__).parents[2] / "scripts" / "make_demo.py"

# The tables of the scenario. Fields: name, km east and north of home, height.
FIELDS = (
    ("Harrowend strip", 0.0, 0.0, 240.0),
    ("Tansy Lea", 18.8, -11.8, 255.0),
    ("Brackmoor", 30.1, -27.9, 265.0),
    ("Corrand strip", 47.6, -33.5, 285.0),
)
# Winds: km, degrees from, m/s.
KNOTS = (
    (0, 330, 3), (1, 325, 5), (3, 318, 9), (5, 312, 14), (8, 306, 25), (10, 303, 36), (12, 305, 28),
    (15, 310, 11), (18, 318, 5), (21, 345, 3), (24, 100, 6), (27, 112, 9), (30, 118, 12),
    (34, 120, 14),
)  # fmt: skip


def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_demo", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def winds() -> list[dict[str, float]]:
    lines = [line for line in WINDS.read_text().splitlines() if not line.startswith("#")]
    return [{key: float(cell) for key, cell in row.items()} for row in csv.DictReader(lines)]


def test_files_are_what_the_script_writes() -> None:
    made = script()
    assert made.flight_text() == DEMO.read_text(encoding="utf-8")
    assert made.winds_text() == WINDS.read_text(encoding="utf-8")


def test_launch_and_gear_are_those_of_the_table() -> None:
    flight = read_flight_file(DEMO)
    sortie = flight.sortie
    assert sortie.name == "Amber evening"
    assert sortie.launch.t_s == 1_800_697_200.0  # 2027-01-23 09:40 UTC: 20 841 days and 34 800 s
    assert sortie.launch.zone == "UTC+07:00"
    assert (sortie.launch.lat_deg, sortie.launch.lon_deg, sortie.launch.amsl_m) == (
        -46.5, 108.0, 240.0,
    )  # fmt: skip
    balloon = sortie.balloon
    assert (balloon.mass_kg, balloon.gas, balloon.purity_ratio) == (1.0, "hydrogen", 1.0)
    assert balloon.burst_diameter_m.value == 7.05
    assert balloon.burst_diameter_m.spread_ratio == pytest.approx(0.06)
    assert balloon.neck_lift_kg == Known(value=2.15)
    assert flight.neck_lift_given
    assert balloon.drag_table == DRAG_TABLE
    assert balloon.early_burst_ratio == Known(value=0.03, sd=0.03, tag=Tag.TYPICAL)
    assert balloon.drag_factor == Known(value=1.0, tag=Tag.TYPICAL)
    assert balloon.gas_warmer_k == Known(value=0.0)
    assert sortie.hanging_kg == pytest.approx(0.82)
    glider = sortie.glider
    assert (glider.mass_kg, glider.area_m2, glider.chord_m) == (0.68, 0.15, 0.17)
    assert (glider.aspect_ratio, glider.span_efficiency) == (5.2, 0.78)
    assert (glider.zero_lift_drag, glider.reference_reynolds) == (0.034, 200_000.0)
    assert (glider.reynolds_exponent, glider.lift_max) == (0.4, 0.85)
    assert (glider.top_eas_mps, glider.top_mach, glider.flown_ratio) == (32.0, 0.55, 1.0)
    assert glider.glide_factor == Known(value=1.0, sd=0.10)
    assert glider.hands_off_sink_eas_mps is not None
    assert glider.hands_off_sink_eas_mps.value == 1.4
    assert glider.spiral_sink_eas_mps is not None
    assert glider.spiral_sink_eas_mps.value == 4.5


def test_drop_crew_pack_doubt_and_wish_are_those_of_the_table() -> None:
    sortie = read_flight_file(DEMO).sortie
    drop = sortie.drop
    assert (drop.drop_drag.value, drop.pull_eas_mps, drop.pull_load) == (0.10, 13.0, 2.0)
    assert (drop.level_angle_deg, drop.heading_s.value) == (8.0, 0.0)
    (pack,) = sortie.packs
    assert (pack.energy_wh, pack.load_w, pack.cold_ratio) == (
        Known(value=26.0), 7.0, Known(value=0.65),
    )  # fmt: skip
    assert (pack.on_after_launch_s, pack.reserve_s) == (-900.0, 180.0)
    # 26 Wh x 0.65 / 7 W = 144.9 min, on at T-15: ends T+129.9
    end_s = pack.on_after_launch_s + 3600.0 * 26.0 * 0.65 / 7.0
    assert end_s / 60.0 == pytest.approx(129.9, abs=0.05)
    doubt = sortie.doubt
    assert (doubt.deep_wind_mps, doubt.shallow_wind_mps) == (None, None)  # as the winds' age tells
    assert doubt.ascent_ratio == 0.05
    assert (sortie.wish.wanted_amsl_m, sortie.wish.arrival_agl_m) == (20_000.0, 300.0)
    assert sortie.wind is not None
    assert Path(sortie.wind.path) == WINDS


def test_nothing_in_it_is_a_guess_or_to_note() -> None:
    flight = read_flight_file(DEMO)
    assert Tag.GUESS not in flight.sortie.tags.values()
    assert flight.notes == ()
    assert {state for _, state in flight.sortie.permissions} == {"held"}


@pytest.mark.parametrize("i", range(4))
def test_fields_lie_where_the_table_puts_them(i: int) -> None:
    name, x_km, y_km, amsl_m = FIELDS[i]
    field = read_flight_file(DEMO).sortie.fields[i]
    assert (field.name, field.amsl_m) == (name, amsl_m)
    azimuth_deg, _, distance_m = Geod(ellps="WGS84").inv(108.0, -46.5, field.lon_deg, field.lat_deg)
    east_m = distance_m * math.sin(math.radians(azimuth_deg))
    north_m = distance_m * math.cos(math.radians(azimuth_deg))
    # Six decimals of a degree are 0.1 m.
    assert (east_m, north_m) == (
        pytest.approx(1000.0 * x_km, abs=0.15), pytest.approx(1000.0 * y_km, abs=0.15),
    )  # fmt: skip


@pytest.mark.parametrize(("knot_km", "from_deg", "speed_mps"), KNOTS)
def test_winds_pass_through_the_knots(knot_km: float, from_deg: float, speed_mps: float) -> None:
    (level,) = [row for row in winds() if row["amsl_m"] == 1000.0 * knot_km]
    assert level["wind_from_deg"] == from_deg
    assert level["wind_mps"] == speed_mps


def test_winds_are_linear_in_components_between_the_knots() -> None:
    rows = {row["amsl_m"]: row for row in winds()}
    assert len(rows) == 69

    def components(amsl_m: float) -> tuple[float, float]:
        angle = math.radians(rows[amsl_m]["wind_from_deg"])
        speed = rows[amsl_m]["wind_mps"]
        return -speed * math.sin(angle), -speed * math.cos(angle)

    for low, high in ((21_000.0, 24_000.0), (30_000.0, 34_000.0)):
        middle = components(0.5 * (low + high))
        ends = zip(components(low), components(high), strict=True)
        assert middle == pytest.approx([0.5 * (a + b) for a, b in ends], abs=0.002)


@pytest.mark.parametrize(
    ("amsl_m", "p_hpa", "t_k"),
    [
        # US Standard Atmosphere 1976, table I, geometric heights
        (0.0, 1013.25, 288.150),
        (10_000.0, 264.99, 223.252),
        (20_000.0, 55.293, 216.650),
        (30_000.0, 11.970, 226.509),
    ],
)
def test_air_is_the_standard_one(amsl_m: float, p_hpa: float, t_k: float) -> None:
    (level,) = [row for row in winds() if row["amsl_m"] == amsl_m]
    assert level["p_hpa"] == pytest.approx(p_hpa, rel=1e-4)
    assert level["t_k"] == pytest.approx(t_k, abs=0.002)


def test_flight_survives_a_round_trip(tmp_path: Path) -> None:
    copy = tmp_path / DEMO.name
    copy.write_bytes(DEMO.read_bytes())
    (tmp_path / WINDS.name).write_bytes(WINDS.read_bytes())
    again, first = read_flight_file(copy), read_flight_file(DEMO)
    assert again.inputs == first.inputs
    assert again.sortie.tags == first.sortie.tags
    document = tomllib.loads(DEMO.read_text(encoding="utf-8"))
    shown = {(line.section, line.row.key): line.number.value for line in first.inputs}
    for section in ("launch", "balloon", "train", "glider", "drop", "doubt", "wish"):
        for key, value in document[section].items():
            if isinstance(value, int | float) and "_spread" not in key:
                assert shown[section, key] == value
