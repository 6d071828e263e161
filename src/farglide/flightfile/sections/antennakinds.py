"""Antenna kinds: each word for an antenna in a flight file, and its own type with its measures.

The laws bring the compiler along, which takes its time: only a file with an antenna waits for it.
"""

import math
from collections.abc import Callable, Mapping
from typing import Final, NamedTuple

from farglide.flightfile.sections.antennakeys import WIDTHS
from farglide.radio.antenna.helix import USUAL_SPACING_RATIO, Helix, HelixArray
from farglide.radio.antenna.kinds import (
    Antenna,
    Beam,
    Collinear,
    Dipole,
    Dish,
    Lobed,
    Monopole,
    Patch,
    Turnstile,
    Yagi,
    even_beam_deg,
)
from farglide.radio.antenna.measured import Measured

Measures = Mapping[str, float]
"""The stated numbers of an antenna by their keys, and `frequency_hz` of its link."""

_RIPPLED: Final = ("ripple_db", "edge_deg")
_HELIX: Final = ("circumference_wavelengths", "spacing_wavelengths")


class Kind(NamedTuple):
    """A kind of antenna: its type, what makes one by its measures, and which those are.

    The laws check the measures. A measured one is None: its files are read when the flight is
    gathered.
    """

    type: type[Antenna]
    make: Callable[[Measures], Antenna | None]
    needs: tuple[str, ...] = ()
    may: tuple[str, ...] = ()


def _of(kind: Callable[..., Antenna], *needs: str, **may: float) -> Callable[[Measures], Antenna]:
    """Return what makes an antenna of measures by its own names; `may`: those with a default."""

    def make(stated: Measures) -> Antenna:
        needed = {key: stated[key] for key in needs}
        return kind(**needed, **{key: stated.get(key, usual) for key, usual in may.items()})

    return make


def _helix(stated: Measures) -> Helix:
    around = stated.get("circumference_wavelengths", 1.0)
    return Helix(
        n_turns=round(stated["n_turns"]),
        spacing_wavelengths=stated.get("spacing_wavelengths", USUAL_SPACING_RATIO * around),
        circumference_wavelengths=around,
    )


def _helix_array(stated: Measures) -> Antenna:
    return HelixArray(
        helix=_helix(stated),
        n_level=round(stated["n_level"]),
        n_upright=round(stated["n_upright"]),
        apart_wavelengths=stated["apart_wavelengths"],
    )


def _beam(kind: type[Beam]) -> Callable[[Measures], Antenna]:
    """Return what makes a yagi or patch; without a width, with the two that stand for its gain."""

    def make(stated: Measures) -> Antenna:
        level = stated.get("beamwidth_level_deg")
        upright = stated.get("beamwidth_upright_deg")
        if level is None:
            level = even_beam_deg(stated["gain_dbi"]) if upright is None else upright
        return kind(level_deg=level, upright_deg=level if upright is None else upright)

    return make


KINDS: Final[Mapping[str, Kind]] = {
    "dipole": Kind(Dipole, lambda _: Dipole()),
    "quarter wave": Kind(
        Monopole,
        _of(Monopole, ground_radius_wavelengths=math.inf),
        (),
        ("ground_radius_wavelengths",),
    ),
    "collinear": Kind(Collinear, _of(Collinear, "gain_dbi"), ("gain_dbi",)),
    "helix": Kind(Helix, _helix, ("n_turns",), _HELIX),
    "helix array": Kind(
        HelixArray, _helix_array, ("n_turns", "n_level", "n_upright", "apart_wavelengths"), _HELIX
    ),
    "yagi": Kind(Yagi, _beam(Yagi), may=WIDTHS),
    "patch": Kind(Patch, _beam(Patch), may=WIDTHS),
    "dish": Kind(Dish, _of(Dish, "diameter_m", "frequency_hz"), ("diameter_m",)),
    "turnstile": Kind(
        Turnstile, _of(Turnstile, "gain_dbi", ripple_db=0.0, edge_deg=90.0), ("gain_dbi",), _RIPPLED
    ),
    "lobed": Kind(
        Lobed,
        _of(Lobed, "gain_dbi", "ripple_db", edge_deg=180.0),
        ("gain_dbi", "ripple_db"),
        ("edge_deg",),
    ),
    "measured": Kind(Measured, lambda _: None),
}
"""Every word but that for a stated gain alone."""
