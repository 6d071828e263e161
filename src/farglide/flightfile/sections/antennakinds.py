"""Antenna kinds: each word for an antenna in a flight file, and its own type with its measures.

The laws bring the compiler along, which takes its time: only a file with an antenna waits for it.
"""

import math
from collections.abc import Callable, Mapping
from typing import Final, NamedTuple, cast

from farglide.flightfile.sections.antennakeys import WIDTHS
from farglide.radio.antenna.beams import Beam, Dish, PatchAntenna, Yagi, even_beam_deg
from farglide.radio.antenna.helix import USUAL_SPACING_RATIO, Helix, HelixArray
from farglide.radio.antenna.kinds import (
    Antenna,
    Collinear,
    Dipole,
    Formula,
    Lobed,
    Monopole,
    Turnstile,
)
from farglide.radio.antenna.measured import Measured

Measures = Mapping[str, float]
"""The stated numbers of an antenna by their keys, and `frequency_hz` of its link."""

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


def _plain(kind: type[Formula], *needs: str, **may: float) -> Kind:
    """Return a kind whose measures have the names of its own; `may`: those with a default."""

    def make(stated: Measures) -> Antenna:
        needed = {key: stated[key] for key in needs}
        others = {key: stated.get(key, usual) for key, usual in may.items()}
        return cast(Callable[..., Antenna], kind)(**needed, **others)

    return Kind(kind, make, needs, tuple(may))


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


def _collinear(stated: Measures) -> Antenna:
    return Collinear(gain_dbi=stated["gain_dbi"], frequency_hz=stated["frequency_hz"])


def _dish(stated: Measures) -> Antenna:
    return Dish(diameter_m=stated["diameter_m"], frequency_hz=stated["frequency_hz"])


KINDS: Final[Mapping[str, Kind]] = {
    "dipole": _plain(Dipole),
    "quarter wave": _plain(Monopole, ground_radius_wavelengths=math.inf),
    "collinear": Kind(Collinear, _collinear, ("gain_dbi",)),
    "helix": Kind(Helix, _helix, ("n_turns",), _HELIX),
    "helix array": Kind(
        HelixArray, _helix_array, ("n_turns", "n_level", "n_upright", "apart_wavelengths"), _HELIX
    ),
    "yagi": Kind(Yagi, _beam(Yagi), may=WIDTHS),
    "patch": Kind(PatchAntenna, _beam(PatchAntenna), may=WIDTHS),
    "dish": Kind(Dish, _dish, ("diameter_m",)),
    "turnstile": _plain(Turnstile, "gain_dbi", ripple_db=0.0, edge_deg=90.0),
    "lobed": _plain(Lobed, "gain_dbi", "ripple_db", edge_deg=180.0),
    "measured": Kind(Measured, lambda _: None),
}
"""Every word but that for a stated gain alone."""
