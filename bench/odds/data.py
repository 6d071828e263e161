"""The open soundings, read by the program's own readers, each with the campaign it belongs to."""

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

import numpy as np

from bench.odds.fetch import DARWIN, GILES_PRAGUE, NETWORK, files_of
from farglide.air.sounding import Sounding
from farglide.arrays import BoolArray
from farglide.errors import SourceError
from farglide.sources.soundings.bufr_temp import read_bufr
from farglide.sources.soundings.netcdf_sounding import read_netcdf_sounding

REGION_DEG: Final = 30.0
"""A region of the network: a box of so many degrees of latitude and longitude."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flown:
    """A sounding that somebody flew, and where and when: what is left out of a fit together."""

    sounding: Sounding
    campaign: str

    @property
    def day(self) -> str:
        """Return the day of the launch, as the number of days since 1970."""
        return f"{self.sounding.t_s // 86_400.0:.0f}"

    @property
    def place(self) -> str:
        """Return the place of the launch, to a degree."""
        return f"{self.sounding.lat_deg:.0f} {self.sounding.lon_deg:.0f}"

    @property
    def gap_m(self) -> float:
        """Return the widest gap between two levels with a wind of their own."""
        return float(np.diff(self.sounding.gph_m[own_winds(self.sounding)]).max())


def own_winds(sounding: Sounding) -> BoolArray:
    """Tell which levels have a wind of their own, not one laid between its neighbours by a reader.

    Winds laid between are linear in the logarithm of pressure, to the last digit; reported ones are
    whole knots or tenths, which are not.
    """
    log_p, own = np.log(sounding.p_pa), np.zeros(len(sounding.p_pa), np.bool_)
    own[[0, -1]] = True
    with np.errstate(divide="ignore", invalid="ignore"):  # where a rounded pressure stands still
        share = (log_p[1:-1] - log_p[:-2]) / (log_p[2:] - log_p[:-2])
    for wind in (sounding.u_mps, sounding.v_mps):
        between = wind[:-2] + share * (wind[2:] - wind[:-2])
        own[1:-1] |= ~(np.abs(wind[1:-1] - between) <= 1e-6)
    return own


@cache
def darwin() -> tuple[Flown, ...]:
    """Return the flights over Darwin, every 6 h for six days, by time.

    Three of 24 files hold winds without temperatures and are refused by the reader: 21 are left.
    """
    return _read_each([path for path in files_of(DARWIN) if path.name.startswith("twp")], "Darwin")


@cache
def lamont() -> tuple[Flown, ...]:
    """Return the one flight over Lamont, Oklahoma."""
    return _read_each([path for path in files_of(DARWIN) if path.name.startswith("sgp")], "Lamont")


@cache
def giles() -> tuple[Flown, ...]:
    """Return the one flight over Giles, Australia, its places from a satellite receiver."""
    return _from_bufr(_only("IUSK73_AMMC_040000.bufr"), "Giles")


@cache
def prague() -> tuple[Flown, ...]:
    """Return four flights over Prague, 6 h apart, at significant levels."""
    return _from_bufr(_only("IUSD40_OKLI.bufr"), "Prague")


@cache
def network() -> tuple[Flown, ...]:
    """Return the soundings of the world's stations at one hour of December 2008, by region."""
    flown = _from_bufr(files_of(NETWORK)[0], "network")
    return tuple(
        Flown(sounding=one.sounding, campaign=region(one.sounding.lat_deg, one.sounding.lon_deg))
        for one in flown
        if np.isfinite(one.sounding.lat_deg)
    )


def network_to(top_gph_m: float, gap_m: float) -> tuple[Flown, ...]:
    """Return the network's soundings that reach a height without a gap as wide as that."""
    return tuple(
        one for one in network() if one.sounding.top_gph_m >= top_gph_m and one.gap_m <= gap_m
    )


def timed() -> tuple[Flown, ...]:
    """Return the flights with times at their levels: where the climb itself is known."""
    return (*darwin(), *lamont(), *giles(), *prague())


def region(lat_deg: float, lon_deg: float) -> str:
    """Return the box of the network that a place lies in.

    >>> region(41.0, -104.9)
    'network 30 -120'
    """
    south, west = (REGION_DEG * np.floor(value / REGION_DEG) for value in (lat_deg, lon_deg))
    return f"network {south:.0f} {west:.0f}"


def _read_each(paths: list[Path], campaign: str) -> tuple[Flown, ...]:
    found = []
    for path in sorted(paths, key=lambda one: re.sub(r"\D", "", one.name)):
        try:
            found.append(Flown(sounding=read_netcdf_sounding(path, None), campaign=campaign))
        except SourceError as error:
            if "temperature is reported at 1 of" not in str(error):
                raise
    return tuple(found)


def _from_bufr(path: Path, campaign: str) -> tuple[Flown, ...]:
    soundings, _ = read_bufr(path)
    flown = (Flown(sounding=one, campaign=campaign) for one in soundings)
    return tuple(sorted(flown, key=lambda one: one.sounding.t_s))


def _only(file: str) -> Path:
    return next(path for path in files_of(GILES_PRAGUE) if path.name == file)
