"""Antenna keys at random: a flight file is refused in words, or its links can be reckoned with."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import FlightFile
from farglide.flightfile.sections.antennakeys import (
    ANTENNAS,
    BEAMS,
    ENDS,
    POINTINGS,
    POLARISATIONS,
    SENDER,
    SURROUNDINGS,
)
from farglide.rig.links import gear_of

Document = dict[str, Any]
_ROUND = 0.6
"""So often a number in its range is whole, as people write them, and so often at an end of it."""


def drawn(rng: np.random.Generator, low: float, high: float) -> float:
    kind = rng.random()
    if kind < 0.1:
        return float(rng.choice([low, high]))
    if kind < 0.15:
        return float(rng.choice([low - 1.0, high * 2.0, -high]))
    value = float(rng.uniform(low, high))
    return round(value) if kind < _ROUND and low <= round(value) <= high else value


# what each antenna needs and what it may have, so that many files get past the questions
_NEEDED = {
    "helix": ("n_turns",), "helix array": ("n_turns", "n_level", "n_upright", "apart_wavelengths"),
    "yagi": ("beamwidth_level_deg",), "patch": ("beamwidth_level_deg",), "dish": ("diameter_m",),
    "collinear": ("gain_dbi",), "turnstile": ("gain_dbi",), "lobed": ("gain_dbi", "ripple_db"),
}  # fmt: skip
_FITTING = {
    "quarter wave": ("ground_radius_wavelengths",),
    "helix": ("circumference_wavelengths", "spacing_wavelengths"),
    "yagi": ("beamwidth_upright_deg", "gain_dbi"), "patch": ("beamwidth_upright_deg",),
    "turnstile": ("ripple_db", "edge_deg"), "lobed": ("edge_deg",),
}  # fmt: skip
_RANGES = {one.key.removeprefix("sender_"): one.span for one in SENDER}
_RANGES |= {"gain_dbi": (-2.0, 16.0), "apart_wavelengths": (1.0, 2.0)}


def fitting(rng: np.random.Generator, antenna: str, aboard: bool) -> Document:
    """Return keys of an end that go together."""
    is_beam = antenna in BEAMS
    keys: Document = {}
    if antenna != "stated gain" and (rng.random() < 0.7 or aboard):
        pointings = ["up", "down", "level"] + ["aimed"] * (is_beam and not aboard)
        keys["pointing"] = str(rng.choice(pointings))
    is_aimed = is_beam and keys.get("pointing", "aimed") == "aimed"
    numbers = [*_FITTING.get(antenna, ()), "damage_db"]
    if antenna != "stated gain":
        numbers += ["aim_spread_deg" if is_aimed else "swing_deg", "damage_skew_deg"]
    some = rng.choice(numbers, size=int(rng.integers(0, len(numbers) + 1)), replace=False)
    return keys | {str(key): drawn(rng, *_RANGES[str(key)]) for key in some}


def anything(rng: np.random.Generator, antenna: str, aboard: bool) -> Document:
    """Return any keys of an end."""
    some = rng.choice(sorted(_RANGES), size=int(rng.integers(0, 3)), replace=False)
    keys: Document = {str(key): drawn(rng, *_RANGES[str(key)]) for key in some}
    return keys | {"pointing": str(rng.choice(POINTINGS))}


def with_antennas(document: Document, rng: np.random.Generator) -> Document:
    link = document["links"][int(rng.integers(2))]
    has_polarisation = rng.random() < 0.5
    for end in ENDS:
        link.pop(f"{end}_gain_dbi")
        antenna = str(rng.choice([one for one in ANTENNAS if one != "measured"]))
        aboard = (end == "receiver") == (link["purpose"] == "command")
        draw = fitting if rng.random() < 0.8 else anything
        keys = draw(rng, antenna, aboard) | {"antenna": antenna}
        keys |= {key: drawn(rng, *_RANGES[key]) for key in _NEEDED.get(antenna, ())}
        if has_polarisation:
            keys["polarisation"] = str(rng.choice(POLARISATIONS[1:]))
        link.update({f"{end}_{key}": value for key, value in keys.items()})
    if rng.random() < 0.3:
        link["surroundings"] = str(rng.choice(SURROUNDINGS))
        link["frequency_mhz"] = float(rng.choice([35.0, 144.0, 433.92, 869.5, 5800.0]))
        link["bandwidth_khz"] = 25.0
        link.pop("bandwidth_mhz", None)
    if rng.random() < 0.2:
        link["rain_mmph"] = drawn(rng, 0.0, 150.0)
    if rng.random() < 0.2:
        for key in ("noise_figure_db", "needed_ratio_db", "sensitivity_dbm"):
            link.pop(key, None)
        link["reached_km"] = drawn(rng, 0.01, 2000.0)
    return document


@pytest.mark.parametrize("seed", range(300))
def test_any_antennas(
    seed: int, document: Document, read: Callable[[Document], FlightFile]
) -> None:
    rng = np.random.default_rng(seed)
    made = with_antennas(document, rng)
    try:
        flight = read(made)
    except FlightFileError as error:
        told = str(error)
    else:
        for spec in flight.sortie.links:
            gear = gear_of(spec)
            assert gear.sd_db >= spec.spread_db
            assert gear.link.extra_loss_db >= 0.0
            assert np.isfinite(gear.pattern).all()
            assert gear.pattern.max() <= 1e-6  # nothing is above the budget's gain
            assert math.isfinite(gear.link.sender.eirp_dbm)
        return
    assert "[[links]]" in told
    assert "nan" not in told
    assert all(len(line) < 300 for line in told.splitlines())
