"""Winds: the air of a rehearsal, turned, weakened or strengthened beside the winds told."""

from dataclasses import fields, replace
from typing import Any, Final

import numpy as np

from farglide.air.column import AirColumn
from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.live.rehearse.surprises import Changes

_CALM_MPS: Final = 1e-9
_LOW_M: Final = 500.0


def told_winds(sounding: Sounding, changes: Changes) -> Sounding:
    """Return the winds that the crew knows, as old and as high as surprises have them."""
    older = replace(sounding, t_s=sounding.t_s - changes.winds_older_s)
    end_m = changes.winds_end_amsl_m
    return older if end_m is None else _up_to(older, end_m)


def _up_to(sounding: Sounding, end_gph_m: float) -> Sounding:
    """Return a sounding without its levels above a height."""
    n = int(np.searchsorted(sounding.gph_m, end_gph_m, side="right"))
    levels: dict[str, Any] = {
        one.name: value[:n]
        for one in fields(Sounding)
        if isinstance(value := getattr(sounding, one.name), np.ndarray)
    }
    return replace(sounding, **levels)


def changed_column(column: AirColumn, changes: Changes) -> AirColumn:
    """Return a column whose winds blow otherwise, as surprises have it.

    Turned from 5 to 12 km, less and less to 4 and 13 km; weaker above 23 km, less and less to 22;
    the jet faster from 8 to 12 km, less and less to 6 and 14. No wind is weakened below calm.
    """
    km = column.middles_amsl_m / 1e3
    layers = column.layers
    u_mps, v_mps = _turned(layers.u_mps, layers.v_mps, changes.turn_deg * _between(km, 5.0, 12.0))
    added = changes.jet_mps * np.clip(np.minimum(km - 6.0, 14.0 - km) / 2.0, 0.0, 1.0)
    added -= changes.weaker_mps * np.clip(km - 22.0, 0.0, 1.0)
    speed = np.hypot(u_mps, v_mps)
    share = np.maximum(speed + added, 0.0) / np.maximum(speed, _CALM_MPS)
    return replace(column, layers=layers._replace(u_mps=u_mps * share, v_mps=v_mps * share))


def landing_errors_mps(
    column: AirColumn, ground_amsl_m: float, turn_deg: float
) -> tuple[FloatArray, FloatArray]:
    """Return what the turn of the lowest winds adds to them, east and north, (n_layers,)."""
    u_mps, v_mps = column.layers.u_mps[0], column.layers.v_mps[0]
    low = column.middles_amsl_m < ground_amsl_m + _LOW_M
    east, north = _turned(u_mps, v_mps, np.where(low, turn_deg, 0.0))
    return east - u_mps, north - v_mps


def _between(km: FloatArray, low: float, high: float) -> FloatArray:
    """Return 1 between two heights, less and less over the kilometre beyond each."""
    share: FloatArray = np.clip(np.minimum(km - (low - 1.0), (high + 1.0) - km), 0.0, 1.0)
    return share


def _turned(
    u_mps: FloatArray, v_mps: FloatArray, turn_deg: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return winds that come from farther right: clockwise seen from above."""
    angle = np.radians(turn_deg)
    cosine, sine = np.cos(angle), np.sin(angle)
    return u_mps * cosine + v_mps * sine, v_mps * cosine - u_mps * sine
