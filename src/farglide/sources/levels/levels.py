"""Levels of air as a file reports them, NaN where it reports nothing, and what is said of them."""

from dataclasses import dataclass, field
from typing import Final, SupportsInt

import numpy as np
from numpy.typing import NDArray

from farglide.arrays import FloatArray
from farglide.errors import SourceError
from farglide.sources.files import refused

Levels = NDArray[np.void]

OFFSETS: Final = ("elapsed_s", "lat_offset_deg", "lon_offset_deg")
QUANTITIES: Final = ("gph_m", "p_pa", "t_k", "rh_ratio", "u_mps", "v_mps", *OFFSETS)
LEVEL: Final = np.dtype([(name, np.float64) for name in QUANTITIES] + [("row", np.int64)])
"""One level; `row` is its line or place in the file, counted from 1."""

POSSIBLE: Final = (
    ("gph_m", -500.0, 90_000.0, "m"),
    ("p_pa", 0.1, 110_000.0, "Pa"),
    ("t_k", 150.0, 330.0, "K"),
    ("rh_ratio", 0.0, 1.2, "as a ratio"),
    ("u_mps", -200.0, 200.0, "m/s"),
    ("v_mps", -200.0, 200.0, "m/s"),
)
"""What air between the ground and 90 km can be; the same limits as a Sounding's."""


MOST_LEVELS: Final = 100_000
"""Of one sounding: ten a second for nearly three hours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Where levels come from: file, name of its rows, place and time, and what was noted."""

    path: str
    part: str = ""  # of the file, where it holds several soundings
    noun: str  # what one level is in this file: "line", "level", "sample"
    origin: str
    lat_deg: float = float("nan")
    lon_deg: float = float("nan")
    t_s: float = float("nan")
    run_t_s: float = float("nan")  # when a forecast was made
    ground_gph_m: float = float("nan")
    notes: list[str] = field(default_factory=list)

    def note(self, text: str) -> None:
        """Keep one remark for the reader of the sounding."""
        self.notes.append(text)

    def count(self, n: SupportsInt, text: str, noun: str = "") -> None:
        """Keep a remark on how many rows, or things of another noun, were dealt with, if any."""
        if int(n):
            self.note(f"{counted(n, noun or self.noun)} {text}")

    def error(self, what: str, remedy: str = "", *, where: str = "") -> SourceError:
        """Return the error that names this file."""
        return refused(self.path, what, remedy, where=", ".join(filter(None, (self.part, where))))


def blank_levels(n: int) -> Levels:
    """Return `n` levels of which nothing is known, numbered from 1."""
    levels: Levels = np.empty(n, LEVEL)
    for name in QUANTITIES:
        levels[name] = np.nan
    levels["row"] = np.arange(1, n + 1)
    return levels


def counted(n: SupportsInt, noun: str) -> str:
    """Return a count with its noun.

    >>> counted(1, "level"), counted(2, "level")
    ('1 level', '2 levels')
    """
    return f"{int(n)} {noun}" if n == 1 else f"{int(n)} {noun}s"


def uv_mps(wind_from_deg: FloatArray, wind_mps: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the wind toward east and north from where it comes and its speed.

    A calm without a direction is 0, 0. Source: by definition; a wind from 270 blows to the east.

    >>> u, v = uv_mps(np.array([270.0]), np.array([10.0]))
    >>> round(float(u[0]), 6), round(abs(float(v[0])), 6)
    (10.0, 0.0)
    """
    known = np.where((wind_mps == 0.0) & np.isnan(wind_from_deg), 0.0, wind_from_deg)
    from_rad = np.radians(known)
    return -wind_mps * np.sin(from_rad), -wind_mps * np.cos(from_rad)


def drop_impossible(levels: Levels, report: Report) -> Levels:
    """Return the levels without values that air cannot have, which are counted in a note.

    For files that instruments write; a file written by hand is refused instead, since its author
    can mend it.
    """
    levels = levels.copy()
    for name, low, high, unit in POSSIBLE:
        values = levels[name]
        bad = np.isfinite(values) & ~((values >= low) & (values <= high))
        if bad.any():
            first = levels[bad][0]
            where = f"the first {first[name]:g} at {report.noun} {first['row']}"
            text = f"of {name} left out: outside {low:g} to {high:g} {unit}, {where}"
            report.count(bad.sum(), text, "value")
            levels[name][bad] = np.nan
    half = np.isnan(levels["u_mps"]) | np.isnan(levels["v_mps"])
    levels["u_mps"][half] = levels["v_mps"][half] = np.nan
    return levels
