"""Sondes: real falls under small parachutes, with the winds they met, as fixes and as forecasts."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

import numpy as np

from bench.odds.data import Flown
from bench.odds.falls import NO_FREE_FALL
from bench.odds.fetch import DROPSONDES, files_of
from bench.odds.pairs import Pair, pair_of
from farglide.air.sounding import Sounding
from farglide.arrays import BoolArray, FloatArray

_LEVEL_M: Final = 60.0
_FARTHEST_H: Final = 72.0
_NAMES: Final = ("time", "pres", "tdry", "rh", "u_wind", "v_wind", "alt", "gpsalt", "lat", "lon")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sonde:
    """One fall: seconds since it began, and where it was; and the sounding that it took."""

    name: str
    t_s: FloatArray
    amsl_m: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    sounding: Sounding


@cache
def sondes() -> tuple[Sonde, ...]:
    """Return the falls of the open set, by time; heights are those of the satellite receiver."""
    paths = [one for one in files_of(DROPSONDES) if one.name not in NO_FREE_FALL]
    found = [one for path in paths if (one := _read(path)) is not None]
    return tuple(sorted(found, key=lambda one: one.sounding.t_s))


def pairs() -> list[tuple[Sonde, Pair]]:
    """Return each fall with the sounding of the one nearest to it in time as its forecast."""
    found = []
    for one in sondes():
        others = [other for other in sondes() if other is not one]
        nearest = min(others, key=lambda other: abs(other.sounding.t_s - one.sounding.t_s))
        pair = pair_of(_flown(nearest), _flown(one))
        if pair.age_h <= _FARTHEST_H:
            found.append((one, pair))
    return found


def _flown(sonde: Sonde) -> Flown:
    return Flown(sounding=sonde.sounding, campaign="sondes")


def _read(path: Path) -> Sonde | None:
    import netCDF4

    with netCDF4.Dataset(str(path)) as dataset:
        rows = {name: _filled(dataset, name) for name in _NAMES}
        began = netCDF4.num2date(0.0, dataset["time"].units)
    placed = np.isfinite(rows["gpsalt"] + rows["lat"] + rows["lon"] + rows["time"])
    order = np.flatnonzero(placed)[np.argsort(rows["time"][placed], kind="stable")]
    fresh = np.concatenate([[True], np.diff(rows["time"][order]) > 0.0])
    order = order[fresh]
    levels = _levels(rows)
    if len(order) < 300 or len(levels) < 30:
        return None
    t_s = rows["time"][order]
    return Sonde(
        name=path.stem,
        t_s=t_s - t_s[0],
        amsl_m=rows["gpsalt"][order],
        lat_deg=rows["lat"][order],
        lon_deg=rows["lon"][order],
        sounding=Sounding(
            gph_m=rows["alt"][levels], p_pa=100.0 * rows["pres"][levels],
            t_k=rows["tdry"][levels] + 273.15,
            relative_humidity_ratio=np.clip(rows["rh"][levels] / 100.0, 0.0, 1.0),
            u_mps=rows["u_wind"][levels], v_mps=rows["v_wind"][levels],
            lat_deg=float(np.median(rows["lat"][order])),
            lon_deg=float(np.median(rows["lon"][order])),
            t_s=_utc_s(began) + float(t_s[0]), origin=path.name,
        ),
    )  # fmt: skip


def _utc_s(began: Any) -> float:
    stamp = f"{began.year:04d}-{began.month:02d}-{began.day:02d}T{began.strftime('%H:%M:%S')}"
    return float(np.datetime64(stamp, "s").astype(np.int64))


def _levels(rows: dict[str, FloatArray]) -> FloatArray:
    """Return the rows of the sounding, upward: each a step higher, of less pressure."""
    known: BoolArray = np.isfinite(sum(rows[name] for name in _NAMES[1:7]))
    found: list[int] = []
    for k in np.flatnonzero(known)[np.argsort(rows["alt"][known], kind="stable")]:
        last = found[-1] if found else None
        if last is None or (
            rows["alt"][k] >= rows["alt"][last] + _LEVEL_M and rows["pres"][k] < rows["pres"][last]
        ):
            found.append(int(k))
    return np.array(found)


def _filled(dataset: Any, name: str) -> FloatArray:
    values = np.ma.filled(dataset[name][:].astype(np.float64), np.nan)
    return np.where(np.abs(values) > 99_000.0, np.nan, values)
