"""Stated: what one section of the file of addresses says, key by key, every problem noted."""

import re
from collections.abc import Callable
from itertools import pairwise
from typing import Any, Final, NamedTuple

from farglide.errors import is_number
from farglide.flightfile.reading.meant import tidy
from farglide.flightfile.reading.reader import Reader
from farglide.gather.fetch.source import Gives, Kind, Steps
from farglide.gather.fetch.templates import fault_of

_LONGEST_TEXT: Final = 400
_MOST_MIRRORS: Final = 10
_MOST: Final = 200
"""Of levels, fields or members."""
_FIELD: Final = re.compile(r"[A-Za-z0-9]{1,12}", re.ASCII)
_MEMBER: Final = re.compile(r"[A-Za-z0-9_-]{1,20}", re.ASCII)
_PART: Final = re.compile(r"[!-~]{1,60}")


def texts_of(reader: Reader, kind: Kind) -> dict[str, Any]:
    """Return who made it and what may be done with it, and how its parts are asked for."""
    found = {key: _line(reader, key) for key in ("producer", "product", "licence", "attribution")}
    if kind is Kind.CLIENT:
        found["package"] = _line(reader, "package")
    if kind is Kind.WHOLE:
        found["index_suffix"] = _part(reader, "index_suffix", "")
    if kind is Kind.CROPPED:
        found["field_part"] = _part(reader, "field_part", "{field}")
        found["level_part"] = _part(reader, "level_part", "{level}")
    return found


def addresses_of(reader: Reader, kind: Kind, n_members: int) -> tuple[str, ...]:
    """Return the main address and its mirrors."""
    mirrors, found = reader.raw("mirrors", []), [reader.raw("address")]
    if found[0] is None:
        reader.refuse("address", "is missing.", 'Write address = "https://...".')
        return ()
    if not isinstance(mirrors, list) or len(mirrors) > _MOST_MIRRORS:
        what = f"is {tidy(mirrors)}, not a list of up to {_MOST_MIRRORS} addresses."
        reader.refuse("mirrors", what, 'Write mirrors = ["https://..."].')
        mirrors = []
    for key, one in [("address", found[0]), *(("mirrors", one) for one in mirrors)]:
        if not isinstance(one, str):
            reader.refuse(key, f"holds {tidy(one)}, not a text.", 'Write "https://...".')
        elif fault := fault_of(one, kind, n_members):
            reader.refuse(key, f"{tidy(one)} {fault}")
    return tuple(one for one in (*found, *mirrors) if isinstance(one, str))


def members_of(reader: Reader, gives: Gives) -> tuple[str, ...]:
    """Return the names of the members, which only an ensemble has."""
    if gives not in (Gives.MEMBERS, Gives.MORE_LEVELS):
        return ()
    return _names(reader, "members", _MEMBER, '["gec00", "gep01"]')


def grid_of(reader: Reader, kind: Kind) -> dict[str, Any]:
    """Return the grid, and of a forecast its runs, steps, levels and fields."""
    found: dict[str, Any] = {"grid_deg": _number(reader, "grid_deg", _Allowed(1e-5, 5.0))}
    if kind is Kind.TILES:
        return found
    steps = _list(reader, "steps_h", _is_step, "[[1, 120], [3, 384]], every hours up to an hour")
    found["steps_h"] = tuple(Steps(*one) for one in steps)
    if any(one.to_h <= before.to_h for before, one in pairwise(found["steps_h"])):
        reader.refuse("steps_h", "has stretches that do not follow each other.", "Sort them.")
    found["run_hours"] = tuple(sorted(_list(reader, "run_hours", _is_hour, "[0, 6, 12, 18]")))
    levels = _list(reader, "levels_hpa", _is_level, "[1000, 850, 700], in hPa")
    found["levels_hpa"] = tuple(sorted({float(one) for one in levels}, reverse=True))
    found["fields"] = _names(reader, "fields", _FIELD, '["HGT", "TMP", "UGRD", "VGRD"]')
    found["also"] = _names(reader, "also", _FIELD, '["RH"]', least=0)
    lacking = _list(reader, "lacking", _is_pair, '[["TMP", 400]]', least=0)
    found["lacking"] = frozenset((field, float(hpa)) for field, hpa in lacking)
    return found


def numbers_of(reader: Reader, kind: Kind) -> dict[str, Any]:
    """Return how long after a run it is there, and how long to wait between requests."""
    found: dict[str, Any] = {"pause_s": _number(reader, "pause_s", _Allowed(0.0, 600.0))}
    if kind is Kind.TILES:
        return found
    for key in ("appears_after_h", "complete_after_h"):
        found[key] = _number(reader, key, _Allowed(0.0, 48.0))
    if found["complete_after_h"] < found["appears_after_h"]:
        reader.refuse("complete_after_h", "is before appears_after_h.", "Are they swapped?")
    if kind is Kind.WHOLE:
        found["least_messages"] = reader.count("least_messages")
    return found


def _line(reader: Reader, key: str) -> str:
    value = reader.raw(key)
    if value is None:
        reader.refuse(key, "is missing.", f'Write {key} = "...".')
    elif not isinstance(value, str) or not value.isprintable() or not value.strip():
        reader.refuse(key, f"is {tidy(value)}, not one line of text.", f'Write {key} = "...".')
    elif len(value) > _LONGEST_TEXT:
        reader.refuse(key, f"holds {len(value)} characters; allowed: {_LONGEST_TEXT}.")
    else:
        return value.strip()
    return ""


def _part(reader: Reader, key: str, name: str) -> str:
    value = reader.raw(key)
    if not isinstance(value, str) or not _PART.fullmatch(value) or value.count(name or value) != 1:
        within = f" with {name} in it" if name else ""
        what = "is missing." if value is None else f"is {tidy(value)}."
        reader.refuse(key, what, f"Write a short text without blanks{within}.")
        return ""
    bare = value.replace(name, "") if name else value
    if "{" in bare or "}" in bare:
        reader.refuse(key, f"is {tidy(value)}: no other braces are allowed.")
    return value


class _Allowed(NamedTuple):
    low: float
    high: float


def _number(reader: Reader, key: str, allowed: _Allowed) -> float:
    value = reader.raw(key)
    if value is None:
        reader.refuse(key, "is missing.", f"Allowed: {allowed.low:g} to {allowed.high:g}.")
    elif not is_number(value) or not allowed.low <= value <= allowed.high:
        reader.refuse_value(key, tidy(value), f"{allowed.low:g} to {allowed.high:g}")
    else:
        return float(value)
    return allowed.low


def _list(
    reader: Reader, key: str, is_one: Callable[[Any], bool], example: str, least: int = 1
) -> list[Any]:
    value = reader.raw(key, [])
    if not isinstance(value, list) or not least <= len(value) <= _MOST:
        what = "is missing." if value == [] else f"is {tidy(value)}, not such a list."
        reader.refuse(key, what, f"Write {key} = {example}.")
        return []
    if strange := [one for one in value if not is_one(one)]:
        reader.refuse(key, f"holds {tidy(strange[0])}.", f"Write {key} = {example}.")
    return [one for one in value if is_one(one)]


def _names(
    reader: Reader, key: str, form: re.Pattern[str], example: str, least: int = 1
) -> tuple[str, ...]:
    def is_name(one: Any) -> bool:
        return isinstance(one, str) and form.fullmatch(one) is not None

    return tuple(dict.fromkeys(_list(reader, key, is_name, example, least)))


def _is_whole(value: Any, low: int, high: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high


def _is_hour(value: Any) -> bool:
    return _is_whole(value, 0, 23)


def _is_step(value: Any) -> bool:
    is_pair = isinstance(value, list) and len(value) == 2
    return is_pair and _is_whole(value[0], 1, 24) and _is_whole(value[1], 1, 999)


def _is_level(value: Any) -> bool:
    return is_number(value) and 0.001 <= value <= 1100.0


def _is_pair(value: Any) -> bool:
    return (
        isinstance(value, list)
        and len(value) == 2
        and isinstance(value[0], str)
        and _is_level(value[1])
    )
