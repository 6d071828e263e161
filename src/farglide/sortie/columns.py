"""Columns: what stands where in the lines of a feed, as the flight file maps it."""

import re
from collections.abc import Sequence
from typing import Final, NamedTuple

from farglide.errors import ContradictionError, InputError
from farglide.units import FOOT_M, KNOT_MPS


class Meaning(NamedTuple):
    """What a column is: the quantity in SI, and what one of its unit is there."""

    key: str
    unit_si: float = 1.0


class Column(NamedTuple):
    """One column: its number from 1, or the path of its key, and what it means."""

    at: str
    meaning: Meaning


MEANINGS: Final[dict[str, Meaning]] = {
    "time_unix_s": Meaning("t_s"), "time_unix_ms": Meaning("t_s", 1e-3),
    "time_iso": Meaning("iso"),
    "lat_deg": Meaning("lat_deg"), "lon_deg": Meaning("lon_deg"),
    "lat_e7_deg": Meaning("lat_deg", 1e-7), "lon_e7_deg": Meaning("lon_deg", 1e-7),
    "height_m": Meaning("height_m"), "height_ft": Meaning("height_m", FOOT_M),
    "height_km": Meaning("height_m", 1000.0), "separation_m": Meaning("separation_m"),
    "speed_mps": Meaning("speed_mps"), "speed_kmph": Meaning("speed_mps", 1.0 / 3.6),
    "speed_kt": Meaning("speed_mps", KNOT_MPS), "track_deg": Meaning("track_deg"),
    "n_satellites": Meaning("n_satellites"), "strength_dbm": Meaning("strength_dbm"),
}  # fmt: skip
_NUMBER: Final = re.compile(r"[1-9]\d?", re.ASCII)
_PATH: Final = re.compile(r"[A-Za-z_][\w-]*(\.[A-Za-z_][\w-]*)*", re.ASCII)
_PLACE: Final = {"lat_deg", "lon_deg"}


def columns_of(stated: Sequence[str], form: str) -> tuple[Column, ...]:
    """Return the columns of a format, "csv" by their numbers or "json" by the names of their keys.

    Raises InputError for one that cannot be understood, ContradictionError for two of one
    quantity, or latitude without longitude, or nothing that says anything.

    >>> columns_of(["2=lat_deg", "3=lon_deg", "5=height_ft"], "csv")[2].at
    '5'
    """
    found = [_column(one, form) for one in stated]
    keys = [one.meaning.key.replace("iso", "t_s") for one in found]
    twice = sorted({key for key in keys if keys.count(key) > 1})
    if twice:
        what = f"columns state {' and '.join(twice)} twice."
        raise ContradictionError(what, "Keep one column for each quantity.")
    if len(_PLACE & set(keys)) == 1 or not (_PLACE | {"strength_dbm"}) & set(keys):
        what = "columns hold no latitude with a longitude."
        remedy = 'Write columns = ["2=lat_deg", "3=lon_deg"], or "4=strength_dbm" alone.'
        raise ContradictionError(what, remedy)
    return tuple(found)


def _column(text: str, form: str) -> Column:
    at, equals, name = (part.strip() for part in text.partition("="))
    pattern = _NUMBER if form == "csv" else _PATH
    if not equals or not pattern.fullmatch(at):
        way = "its number from 1 to 99" if form == "csv" else "the name of its key, or pos.lat"
        raise InputError("columns", ascii(text), f'{way}, and = with what it is: "{_way(form)}"')
    if name not in MEANINGS:
        raise InputError("columns", ascii(text), f"= with one of {', '.join(MEANINGS)}")
    return Column(at, MEANINGS[name])


def _way(form: str) -> str:
    return "2=lat_deg" if form == "csv" else "pos.lat=lat_deg"
