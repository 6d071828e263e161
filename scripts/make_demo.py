"""Writes the demo flight "Amber evening" and its winds: wholly invented, placed in open ocean."""

import math
from pathlib import Path
from typing import Final

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.transform import from_origin

from farglide.air.standard import standard_air
from farglide.earth.geodesy import offset
from farglide.earth.heights import geopotential_m
from farglide.earth.state import Place

FloatArray = NDArray[np.float64]

ASSETS: Final = Path(__file__).parents[1] / "src" / "farglide" / "flightfile" / "assets"
HOME: Final = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0)
STEP_M: Final = 500.0
TOP_M: Final = 34_000.0
KM_NORTH: Final = 111.195  # kilometres in a degree of latitude and, at home, of longitude
KM_EAST: Final = 76.542
GROUND_STEP_DEG: Final = 1.0 / 600.0  # 185 m
GROUND_NORTH_DEG, GROUND_WEST_DEG = 0.15, 0.2  # beyond home
GROUND_SPAN_DEG: Final = (0.6, 1.05)

STANDS: Final = (  # name, km east and north of home, metres above sea level, minutes from home
    ("Harrowend strip", 0.0, 0.0, 240, 0),
    ("Wether Knap", 18.0, -15.1, 470, 38),
    ("Stile Gap", 12.6, -9.9, 500, 26),
)
FIELDS: Final = (  # name, x km east and y km north of home, m above sea level, role, surface
    ("Harrowend strip", 0.0, 0.0, 240, "home", "mown strip 340 x 60 m, hedge at the south end"),
    ("Tansy Lea", 18.8, -11.8, 255, "near side of the wood", "pasture"),
    ("Brackmoor", 30.1, -27.9, 265, "far side of the wood", "heath"),
    ("Corrand strip", 47.6, -33.5, 285, "under the far end of the drift", "farm strip"),
)
WOOD_KM: Final = (  # corners of Gollan Wood, km east and north of home
    (32.3, -3.6), (35.4, -7.5), (39.1, -9.4), (32.6, -15.6), (27.6, -23.1), (20.6, -29.1),
    (16.0, -36.9), (12.8, -32.9), (9.1, -31.1), (16.3, -24.1), (22.0, -15.8), (28.3, -10.7),
)  # fmt: skip
WINDS: Final = (  # km above mean sea level, degrees from, m/s; linear in components between
    (0, 330, 3), (1, 325, 5), (3, 318, 9), (5, 312, 14), (8, 306, 25), (10, 303, 36), (12, 305, 28),
    (15, 310, 11), (18, 318, 5), (21, 345, 3), (24, 100, 6), (27, 112, 9), (30, 118, 12),
    (34, 120, 14),
)  # fmt: skip

FLIGHT: Final = """\
# Amber evening: an invented flight, placed in open ocean so that nobody takes it for a real one.
# Place, people, gear and winds are made up; scripts/make_demo.py writes this file and its winds.

[flight]
name = "Amber evening"
launch_at = 2027-01-23T16:40:00+07:00
zone = "UTC+07:00"

[launch]
name = "Harrowend strip"
lat_deg = -46.5
lon_deg = 108.0
amsl_m = 240

[balloon]
mass_kg = 1.0
burst_diameter_m = 7.05                  # long in store: below its sheet
burst_diameter_spread_ratio = 0.06
early_burst_ratio = 0.03
gas = "hydrogen"
purity_ratio = 1.0
neck_lift_kg = 2.15
neck_lift_spread_kg = 0                  # the doubt about the climb stands in [doubt]
drag_factor = 1.0                        # the usual curve
drag_factor_spread_ratio = 0
gas_warmer_k = 0
gas_warmer_spread_k = 0
film_stiffness_npm = 0
leak_ratio_ps = 0
typical = ["burst_diameter", "drag_factor", "early_burst"]

[train]
line_kg = 0.14
remains_drag_area_m2 = 0.2

[glider]
mass_kg = 0.68
area_m2 = 0.15
chord_m = 0.17
aspect_ratio = 5.2
span_efficiency_ratio = 0.78
zero_lift_drag = 0.034
reference_reynolds = 200000
reynolds_exponent = 0.4
lift_max = 0.85
top_eas_mps = 32
top_mach = 0.55
glide_factor_spread_ratio = 0.10
flown_ratio = 1.0
hands_off_sink_eas_mps = 1.4
spiral_sink_eas_mps = 4.5
spin_sink_eas_mps = 11

[drop]
drop_drag = 0.10
pull_eas_mps = 13
pull_load = 2.0
level_angle_deg = 8
heading_s = 0                            # found at once

[release]
seen_by = "gnss"
seen_to_amsl_m = 50000
seen_error_m = 15
free_after_burst_ratio = 0.5             # invented: nobody has counted it

[[packs]]
name = "all"
energy_wh = 26
energy_spread_ratio = 0                  # taken as exact
load_w = 7
cold_ratio = 0.65
cold_spread_ratio = 0                    # taken as exact
on_after_launch_min = -15
reserve_min = 3

{fields}
[[links]]
name = "picture"
purpose = "picture"
kind = "analogue"
frequency_mhz = 2370
bandwidth_mhz = 16
power_w = 0.8
power_spread_ratio = 0                   # taken as exact
sender_gain_dbi = 2                      # on the glider
receiver_gain_dbi = 18                   # on the car
receiver_loss_db = 2
noise_figure_db = 2
needed_ratio_db = 9
offset_db = 0                            # a ground test found it as budgeted
spread_db = 2
heat_w = 4.2                             # draws 5 W and sends 0.8 W
case_area_cm2 = 60
case_g = 40
case_flow_ratio = 0.1                    # behind a small inlet
limit_celsius = 85
needs = ["picture transmitter", "picture antenna", "tracking antenna", "feed cable",
         "picture receiver", "car power", "pack all"]

[[links]]
name = "command"
purpose = "command"
kind = "digital"
frequency_mhz = 869.5
bandwidth_khz = 100
power_w = 0.5
power_spread_ratio = 0                   # taken as exact
sender_gain_dbi = 9                      # on the car
receiver_gain_dbi = -1                   # on the glider
receiver_loss_db = 3
sensitivity_dbm = -107
offset_db = 0                            # a ground test found it as budgeted
spread_db = 4
needs = ["command transmitter", "car power", "command receiver", "pack all"]

[[triggers]]
name = "command"
needs = ["link command", "pin servo", "pack all"]
n_tests = 20
n_failures = 0

[[triggers]]
name = "falling detector"
needs = ["falling detector", "hot wire", "pack all"]
n_tests = 12
n_failures = 0

[[parts]]
name = "feed cable"
at = "ground"
swap_min = 2

[[parts]]
name = "picture receiver"
at = "ground"
swap_min = 4
fails_in_3h_percent = 2                  # invented, as all of this flight

[[parts]]
name = "pack all"
fails_in_3h_percent = 1

{stands}
{barriers}
[doubt]
vertical_mps = 0
ascent_ratio = 0.05

[wish]
bring_to = "any"
wanted_amsl_m = 20000
enough_ratio = 0.9
arrival_agl_m = 300
open_ratio = 0.9
doubtful_ratio = 0.5
ground_wind_limit_mps = 5

[terrain]
files = ["amber-evening-ground.tif"]

[wind]
file = "amber-evening-winds.csv"
accept_age_h = 3
accept_distance_km = 100

[permissions]
airspace = "held"
aircraft = "held"
command_radio = "held"
picture_radio = "held"
land = "held"

[crew]
reaction_s = 10
set_up_min = 4                           # rehearsed
repeats_s = 20
n_releases = 20
n_release_failures = 0
n_pullouts = 12
n_pullout_failures = 0
"""

WIND_HEAD: Final = """\
# lat_deg: -46.5
# lon_deg: 108.0
# time: 2027-01-23T09:00:00Z
# origin: invented winds of Amber evening, in the air of the standard atmosphere
amsl_m,p_hpa,t_k,wind_from_deg,wind_mps
"""


def flight_text() -> str:
    """Return the flight file."""
    return FLIGHT.format(
        fields="\n".join(_field_text(*row) for row in FIELDS),
        stands="\n".join(_stand_text(*row) for row in STANDS),
        barriers=_wood_text(),
    )


def winds_text() -> str:
    """Return the winds as CSV."""
    heights_m = np.arange(0.0, TOP_M + 1.0, STEP_M)
    u_mps, v_mps = winds_at(heights_m)
    return WIND_HEAD + "".join(map(_level_text, heights_m, u_mps, v_mps))


def winds_at(amsl_m: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return winds to east and to north, linear between the knots."""
    knots_km, from_deg, speed_mps = np.array(WINDS, dtype=np.float64).T
    u_mps = -speed_mps * np.sin(np.radians(from_deg))
    v_mps = -speed_mps * np.cos(np.radians(from_deg))
    knots_m = 1000.0 * knots_km
    return np.interp(amsl_m, knots_m, u_mps), np.interp(amsl_m, knots_m, v_mps)


def _field_text(name: str, x_km: float, y_km: float, amsl_m: int, *words: str) -> str:
    place = offset(HOME, 1000.0 * x_km, 1000.0 * y_km)
    role, surface = words
    return (
        f'[[fields]]\nname = "{name}"\nlat_deg = {place.lat_deg:.6f}\nlon_deg = {place.lon_deg:.6f}'
        f'\namsl_m = {amsl_m}\nrole = "{role}"\nsurface = "{surface}"\n'
    )


def _stand_text(name: str, x_km: float, y_km: float, amsl_m: int, drive_min: int) -> str:
    place = offset(HOME, 1000.0 * x_km, 1000.0 * y_km)
    return (
        f'[[stands]]\nname = "{name}"\nlat_deg = {place.lat_deg:.6f}\nlon_deg = {place.lon_deg:.6f}'
        f"\namsl_m = {amsl_m}\nmast_m = 3\ndrive_min = {drive_min}\n"
    )


def _wood_text() -> str:
    places = [offset(HOME, 1000.0 * x_km, 1000.0 * y_km) for x_km, y_km in WOOD_KM]
    corners = "".join(f"  [{one.lat_deg:.6f}, {one.lon_deg:.6f}],\n" for one in places)
    return (
        '[[barriers]]\nname = "Gollan Wood"\nkind = "closed forest"\n'
        f'note = "a gorge inside; nothing can be fetched from it"\noutline = [\n{corners}]\n'
    )


def write_ground(path: Path) -> None:
    """Write the made-up ground: swells, a ridge across the drift, a round hill, flat fields."""
    step_deg = GROUND_STEP_DEG
    n_rows, n_columns = (round(span / step_deg) + 1 for span in GROUND_SPAN_DEG)
    north, west = HOME.lat_deg + GROUND_NORTH_DEG, HOME.lon_deg - GROUND_WEST_DEG
    lat = north - step_deg * np.arange(n_rows)[:, None]
    lon = west + step_deg * np.arange(n_columns)[None, :]
    heights = ground_m((lon - HOME.lon_deg) * KM_EAST, (lat - HOME.lat_deg) * KM_NORTH)
    corner = from_origin(west - 0.5 * step_deg, north + 0.5 * step_deg, step_deg, step_deg)
    with rasterio.open(
        path, "w", driver="GTiff", height=n_rows, width=n_columns, count=1, dtype="int16",
        crs="EPSG:4326", transform=corner, nodata=-32768, compress="deflate", predictor=2,
    ) as file:  # fmt: skip
        file.write(np.round(heights).astype(np.int16), 1)


def ground_m(x_km: FloatArray, y_km: FloatArray) -> FloatArray:
    """Return heights of the ground at places east and north of home."""
    along = 0.7660 * x_km - 0.6428 * y_km
    ridge = 250.0 * np.exp(-(((along - 16.0) / 1.5) ** 2))
    hill = 216.0 * np.exp(-(((x_km - 18.0) ** 2 + (y_km + 15.1) ** 2) / 0.8**2))
    ground = 250.0 + 15.0 * np.sin(x_km / 5.0) * np.cos(y_km / 7.0) + ridge + hill
    for _, east, north, amsl_m, *_ in FIELDS:
        ground = np.where(np.hypot(x_km - east, y_km - north) < 0.6, amsl_m, ground)
    return ground


def _level_text(amsl_m: float, u_mps: float, v_mps: float) -> str:
    air = standard_air(geopotential_m(amsl_m))
    from_deg = round(math.degrees(math.atan2(-u_mps, -v_mps)) % 360.0, 2) % 360.0
    speed_mps = math.hypot(u_mps, v_mps)
    return f"{amsl_m:.0f},{air.p_pa / 100.0:#.6g},{air.t_k:.3f},{from_deg:.2f},{speed_mps:.3f}\n"


if __name__ == "__main__":
    ASSETS.mkdir(exist_ok=True)
    (ASSETS / "amber-evening.toml").write_text(flight_text(), encoding="utf-8")
    (ASSETS / "amber-evening-winds.csv").write_text(winds_text(), encoding="utf-8")
    write_ground(ASSETS / "amber-evening-ground.tif")
