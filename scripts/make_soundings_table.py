"""Writes the tables of docs/soundings.rst: the demo's gear in one hour of the sounding network."""

from collections.abc import Callable
from contextlib import nullcontext
from dataclasses import dataclass, replace
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

import numpy as np
from best_path import on_best_paths
from numpy.typing import NDArray

from farglide.air.sounding import Sounding
from farglide.air.standard import standard_air
from farglide.atlas.fields import Field
from farglide.chances.chances import chances_of_climb
from farglide.chances.ensemble import plain_ensemble
from farglide.earth.geodesy import destination
from farglide.earth.state import Place
from farglide.flightfile.flightfile import read_flight_file
from farglide.rig.gear import goals_of
from farglide.sim.fly.passage import from_launch_m
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie
from farglide.sources.soundings.bufr_messages import raw_messages, subsets
from farglide.sources.soundings.bufr_temp import _sounding

FloatArray = NDArray[np.float64]
Bools = NDArray[np.bool_]

ROOT: Final = Path(__file__).parents[1]
PAGE: Final = ROOT / "docs" / "soundings.rst"
NETWORK: Final = ROOT / "tests" / "authorities" / "temp_network_20081208.bufr"
DEMO: Final = Path(str(files("farglide.flightfile") / "assets" / "amber-evening.toml"))
BEGIN: Final = ".. tables begin\n"
END: Final = ".. tables end\n"

TOP_GPH_M: Final = 24_000.0
WIDEST_GAP_M: Final = 4_500.0
HIGH_AMSL_M: Final = 20_000.0
UP_DRIFT_KM: Final = tuple(range(0, 161, 10))
SHOWN_KM: Final = (0, 20, 40, 60, 90, 120, 160)
MINUTE_S: Final = 60.0
_PRESSURE: Final = 7004  # this and what follows: WMO-No. 306, volume I.2, table B
_READ: Final = {10003: "geopotential", 10009: "gph_m", 11001: "from_deg", 11002: "mps"}
_GROUND: Final = (7030, 7001)
_GEOPOTENTIAL_M: Final = 9.80665  # m2/s2 in a geopotential metre, by definition


@dataclass(frozen=True, slots=True, kw_only=True)
class Reported:
    """One sounding of the network, and its levels that report both a height and a wind."""

    sounding: Sounding
    ground_amsl_m: float
    gph_m: FloatArray
    u_mps: FloatArray
    v_mps: FloatArray

    @property
    def is_whole(self) -> bool:
        """Return whether winds reach 24 km with no gap over 4.5 km, from the ground up."""
        steps = np.diff(np.concatenate([[self.ground_amsl_m], self.gph_m]))
        return bool(self.gph_m[-1] >= TOP_GPH_M and steps.max() <= WIDEST_GAP_M)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """How the flights are computed."""

    title: str
    is_simple: bool = False
    on_best_path: bool = False  # up to the limits, through winds that it knows
    flown_ratio: float = 1.0


ASKINGS: Final = (
    Asking(title="Simplified, on the best path", is_simple=True, on_best_path=True),
    Asking(title="Simplified, on the straight way", is_simple=True),
    Asking(title="Whole"),
    Asking(title="Whole, flown ratio 0.85", flown_ratio=0.85),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """What the population answers; first axis the sounding, second the launch place."""

    reach: Bools  # home open somewhere above 20 km, by reach
    packs: Bools  # and before the packs end
    shut_min: FloatArray  # with home shut by reach, T+3 to the burst
    drift_km: FloatArray  # at T+76, by sounding


def population(path: Path = NETWORK) -> list[Reported]:
    """Return the soundings of a file whose reported winds reach high enough without a gap."""
    found = []
    for message in raw_messages(path):
        for pairs in subsets(message, path):
            levels = _levels(pairs)
            if len(levels) < 3:
                continue
            ground_m = next(
                (float(x) for key, x in pairs if key in _GROUND and x is not None), np.nan
            )
            gph_m, first = np.unique(levels[:, 0], return_index=True)
            one = Reported(
                sounding=_sounding(pairs, path, "message"),
                ground_amsl_m=ground_m,
                gph_m=gph_m,
                u_mps=levels[first, 1],
                v_mps=levels[first, 2],
            )
            if one.is_whole:
                found.append(one)
    return found


def _levels(pairs: list[tuple[int, Any]]) -> FloatArray:
    """Return height, u, v of each level that reports a height, a direction and a speed."""
    rows: list[dict[str, float]] = []
    for element, value in pairs:
        if element == _PRESSURE:
            rows.append({})
        elif rows and element in _READ and isinstance(value, int | float):
            name, given = _READ[element], float(value)
            if name == "geopotential":
                name, given = "gph_m", given / _GEOPOTENTIAL_M
            rows[-1].setdefault(name, given)
    full = [row for row in rows if len(row) == 3]
    angle = np.radians([row["from_deg"] for row in full])
    speed = np.array([row["mps"] for row in full])
    heights = np.array([row["gph_m"] for row in full])
    return np.stack([heights, -speed * np.sin(angle), -speed * np.cos(angle)], axis=-1)


def in_standard_air(one: Reported) -> Sounding:
    """Return the winds at reported heights alone, in the air of the standard atmosphere."""
    gph_m = np.union1d(np.arange(0.0, 40_001.0, 250.0), one.gph_m)
    air = [standard_air(float(h)) for h in gph_m]
    return replace(
        one.sounding,
        gph_m=gph_m,
        p_pa=np.array([a.p_pa for a in air]),
        t_k=np.array([a.t_k for a in air]),
        relative_humidity_ratio=np.full(len(gph_m), np.nan),
        u_mps=np.interp(gph_m, one.gph_m, one.u_mps),
        v_mps=np.interp(gph_m, one.gph_m, one.v_mps),
    )


def flight_from(demo: Sortie, one: Reported, asking: Asking) -> Sortie:
    """Return the demo's gear launched where the sounding was, home at the launch."""
    amsl_m = 0.0 if asking.is_simple else one.ground_amsl_m
    launch = replace(
        demo.launch, lat_deg=one.sounding.lat_deg, lon_deg=one.sounding.lon_deg, amsl_m=amsl_m
    )
    home = Field(name="home", lat_deg=launch.lat_deg, lon_deg=launch.lon_deg, amsl_m=amsl_m)
    margin_ratio = 0.0 if asking.on_best_path else demo.glider.speed_margin_ratio
    glider = replace(demo.glider, flown_ratio=asking.flown_ratio, speed_margin_ratio=margin_ratio)
    return replace(demo, launch=launch, fields=(home,), glider=glider)


def answer(
    sortie: Sortie, sounding: Sounding, *, slowing: bool
) -> tuple[Bools, Bools, FloatArray, float]:
    """Return for home 0 to 160 km down the drift: open above 20 km, in time too, minutes shut.

    And the drift at T+76. One climb without errors, each minute; light is set aside.
    """
    asked = Grain(clock_s=MINUTE_S, slab=5, slowing=slowing)
    ensemble = plain_ensemble(sortie, sounding, asked)
    haste = ensemble.reach.haste._replace(end_s=ensemble.draws.pack_end_s)
    ensemble = replace(ensemble, reach=replace(ensemble.reach, haste=haste))
    burst, tracks, launch = ensemble.climbs.burst, ensemble.climbs.tracks, sortie.launch
    east_m, north_m = from_launch_m(
        ensemble.air.scene, float(burst.north_rad[0]), float(burst.east_rad[0])
    )
    axis_deg = float(np.degrees(np.arctan2(east_m, north_m)))
    here = Place(lat_deg=launch.lat_deg, lon_deg=launch.lon_deg, amsl_m=launch.amsl_m)
    places = [destination(here, axis_deg, 1e3 * km) for km in UP_DRIFT_KM]
    homes = tuple(
        Field(name=f"home {km} km", lat_deg=p.lat_deg, lon_deg=p.lon_deg, amsl_m=launch.amsl_m)
        for km, p in zip(UP_DRIFT_KM, places, strict=True)
    )
    moments = np.arange(int(burst.after_launch_s[0] / MINUTE_S) + 1)
    chances = chances_of_climb(ensemble, moments, goals_of(sortie, homes))
    is_open, in_time = chances.reach_ratio > 0.5, chances.open_ratio > 0.5
    high = chances.amsl_m >= HIGH_AMSL_M
    drift = from_launch_m(
        ensemble.air.scene, float(tracks.north_rad[0, 76]), float(tracks.east_rad[0, 76])
    )
    shut_min = (~is_open[3:]).sum(axis=0).astype(np.float64)
    return is_open[high].any(axis=0), in_time[high].any(axis=0), shut_min, float(np.hypot(*drift))


def compared(sortie: Sortie) -> Sortie:
    """Return the demo with the balloon that the independent figures are of; see 0004-compared."""
    balloon = replace(
        sortie.balloon,
        neck_lift_kg=Known(value=1.6),
        burst_diameter_m=Known(value=6.6),
        drag_table=((1.0e5, 0.30),),
    )
    return replace(sortie, balloon=balloon)


def study(soundings: list[Reported], asking: Asking) -> Study:
    """Return the answers of all soundings."""
    demo = compared(read_flight_file(DEMO).sortie)
    with on_best_paths() if asking.on_best_path else nullcontext():
        rows = [
            answer(
                flight_from(demo, one, asking),
                in_standard_air(one) if asking.is_simple else one.sounding,
                slowing=not asking.is_simple,
            )
            for one in soundings
        ]
    reach, packs, shut, drift = zip(*rows, strict=True)
    return Study(
        reach=np.array(reach),
        packs=np.array(packs),
        shut_min=np.array(shut),
        drift_km=np.array(drift) / 1e3,
    )


def tables(soundings: list[Reported], studies: list[Study]) -> str:
    """Return all tables of the page."""
    strongest = [float(np.hypot(one.u_mps, one.v_mps).max()) for one in soundings]
    tops = [one.sounding.top_gph_m / 1e3 for one in soundings]
    facts = [
        ["drift at T+76, simplified, km", *_deciles(studies[0].drift_km)],
        ["drift at T+76, whole, km", *_deciles(studies[2].drift_km)],
        ["strongest wind at a reported height, m/s", *_deciles(strongest)],
        ["top of the winds, all levels, km", *_deciles(tops)],
    ]
    head = [f"of {len(soundings)} soundings", "10 %", "50 %", "90 %"]
    parts = [_table("The hour", head, facts)]
    parts += [_study_table(a, s) for a, s in zip(ASKINGS, studies, strict=True)]
    return "\n".join(parts)


def _deciles(values: Any) -> list[str]:
    return [f"{x:.0f}" for x in np.quantile(values, [0.1, 0.5, 0.9])]


def _study_table(asking: Asking, found: Study) -> str:
    columns = [UP_DRIFT_KM.index(km) for km in SHOWN_KM]
    rows = [
        _row(str(UP_DRIFT_KM[j]), found.reach[:, j], found.packs[:, j], found.shut_min[:, j])
        for j in columns
    ]
    rows.append(
        _row(
            "best of 0 to 160",
            found.reach.any(axis=1),
            found.packs.any(axis=1),
            found.shut_min.min(axis=1),
        )
    )
    head = [
        "launched km up-drift",
        "open above 20 km, %",
        "and the packs last, %",
        "minutes shut, median",
        "mean",
    ]
    return _table(asking.title, head, rows)


def _row(label: str, reach: Bools, packs: Bools, shut_min: FloatArray) -> list[str]:
    shares = [f"{100.0 * x.mean():.0f}" for x in (reach, packs)]
    return [label, *shares, f"{np.median(shut_min):.0f}", f"{shut_min.mean():.0f}"]


def _table(title: str, head: list[str], rows: list[list[str]]) -> str:
    lines = [f".. list-table:: {title}", "   :header-rows: 1", ""]
    for row in [head, *rows]:
        lines += [f"   {'* -' if i == 0 else '  -'} {cell}" for i, cell in enumerate(row)]
    return "\n".join(lines) + "\n"


def shown(page: str) -> str:
    """Return the tables that a page shows."""
    return page.split(BEGIN, 1)[1].split(END, 1)[0].strip("\n") + "\n"


def main(say: Callable[[str], None] = print) -> None:
    """Put the tables into the page."""
    soundings = population()
    say(f"{len(soundings)} soundings")
    page = PAGE.read_text(encoding="utf-8")
    text = tables(soundings, [study(soundings, asking) for asking in ASKINGS])
    before, after = page.split(BEGIN, 1)[0], page.split(END, 1)[1]
    PAGE.write_text(f"{before}{BEGIN}\n{text}\n{END}{after}", encoding="utf-8")


if __name__ == "__main__":
    main()
