"""Choice: which members, times and levels of all that the headers tell make a whole grid."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from farglide.sources.files import utc_words
from farglide.sources.grids.field import Field, LevelKind, Moment
from farglide.sources.grids.wanted import Wanted
from farglide.sources.levels.levels import Report

WORDS: Final = {"gph_m": "height", "t_k": "temperature", "u_mps": "u wind", "v_mps": "v wind"}
NEEDED: Final[dict[LevelKind, tuple[str, ...]]] = {
    "pressure": ("gph_m", "t_k", "u_mps", "v_mps"), "model": ("t_k", "u_mps", "v_mps"),
}  # fmt: skip
"""What a level must tell; heights of model levels follow from the rest."""
HUMIDITY: Final = ("rh_ratio", "q_ratio")

Have = dict[tuple[str, float, float], set[str]]
"""Quantities by member, valid time and level."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """The axes of a grid, levels from the lowest in the air, and the fields that fill it."""

    members: tuple[str, ...]
    times_s: tuple[float, ...]
    levels: tuple[float, ...]
    fields: tuple[Field, ...]
    run_s: float


class _Axes(NamedTuple):
    """The members and times that stay."""

    members: tuple[str, ...]
    times_s: tuple[float, ...]


def newest(fields: Sequence[Field], report: Report) -> list[Field]:
    """Return the fields of the newest run for each valid time."""
    runs: dict[float, float] = {}
    for one in fields:
        runs[one.valid_s] = max(one.run_s, runs.get(one.valid_s, one.run_s))
    kept = [one for one in fields if one.run_s == runs[one.valid_s]]
    report.count(len(fields) - len(kept), "of older runs for the same time left out", "field")
    return kept


def chosen(
    fields: Sequence[Field], kind: LevelKind, wanted: Wanted, report: Report
) -> Choice | None:
    """Return the choice among fields of one kind of level; None where no level is complete.

    A time at which most members have no complete level goes, then a member that has none at one of
    the times left, then a level that lacks a field at one of them: each is named. Where just one of
    three members or more lacks a field, the level stays, and the field is told as missing.
    """
    usable = [one for one in fields if one.kind == kind and _is_wanted(one, kind, wanted)]
    usable = newest(usable, report)
    have: Have = defaultdict(set)
    for one in usable:
        have[(*one.moment, one.level)].add(one.quantity)
    whole = {Moment(*key[:2]) for key, names in have.items() if set(NEEDED[kind]) <= names}
    times = _times(have, whole, kind, report)
    times = _spanning(times, wanted, report)
    members = _members(have, whole, times, report)
    levels = _levels(have, kind, _Axes(members, times), report)
    if not levels:
        return None
    kept = [
        one
        for one in usable
        if one.member in members and one.valid_s in times and one.level in levels
    ]
    runs = {one.run_s for one in kept}
    if len(runs) > 1:
        told = ", ".join(utc_words(run_s) for run_s in sorted(runs))
        report.note(f"times of {len(runs)} runs ({told}): lead times count from the oldest")
    return Choice(
        members=members, times_s=times, levels=levels, fields=tuple(kept), run_s=min(runs)
    )


def _is_wanted(one: Field, kind: LevelKind, wanted: Wanted) -> bool:
    known = one.quantity in NEEDED[kind] or one.quantity in HUMIDITY
    deep = kind != "pressure" or wanted.least_p_pa is None or one.level >= wanted.least_p_pa
    return known and deep and (kind != "pressure" or one.level > 0.0)


def _times(have: Have, whole: set[Moment], kind: LevelKind, report: Report) -> tuple[float, ...]:
    """Return the times at which at least half of the members have a complete level."""
    n_members = len({member for member, _, _ in have})
    all_s = sorted({valid_s for _, valid_s, _ in have})
    n_whole = {t: sum(1 for _, valid_s in whole if valid_s == t) for t in all_s}
    kept = [t for t in all_s if 2 * n_whole[t] >= n_members]
    for t in sorted(set(all_s) - set(kept)):
        told = set[str]().union(*(names for key, names in have.items() if key[1] == t))
        lacking = [WORDS[name] for name in NEEDED[kind] if name not in told]
        why = f" (no {', no '.join(lacking)})" if lacking else ""
        report.note(f"time {utc_words(t)} left out: no level is complete{why}")
    return tuple(kept)


def _spanning(times_s: tuple[float, ...], wanted: Wanted, report: Report) -> tuple[float, ...]:
    """Return the times within a stretch, with the last before it and the first after it."""
    if wanted.times_s is None or not times_s:
        return times_s
    first_s, last_s = wanted.times_s
    if times_s[0] > first_s:
        report.note(f"begins at {utc_words(times_s[0])}, after the first time asked for")
    if times_s[-1] < last_s:
        report.note(f"ends at {utc_words(times_s[-1])}, before the last time asked for")
    low = max((t for t in times_s if t <= first_s), default=times_s[0])
    high = min((t for t in times_s if t >= last_s), default=times_s[-1])
    return tuple(t for t in times_s if min(low, high) <= t <= max(low, high))


def _members(
    have: Have, whole: set[Moment], times_s: Iterable[float], report: Report
) -> tuple[str, ...]:
    """Return the members that have a complete level at each of the times."""
    names = sorted({member for member, _, _ in have}, key=_order)
    lacking = {name: [t for t in times_s if Moment(name, t) not in whole] for name in names}
    for name in names:
        if lacking[name]:
            first = utc_words(lacking[name][0])
            report.note(f"member {name} left out: no complete level at {first}")
    return tuple(name for name in names if not lacking[name])


def _order(name: str) -> tuple[bool, str, int]:
    """Return what members are sorted by: controls first, then by number."""
    digits = "".join(one for one in name if one.isdigit())
    return (not name.startswith(("control", "gec")), name.rstrip("0123456789"), int(digits or 0))


def _levels(
    have: Have,
    kind: LevelKind,
    axes: _Axes,
    report: Report,
) -> tuple[float, ...]:
    """Return the levels, lowest in the air first, that are complete at all times."""
    members, times_s = axes
    kept, alone = [], 0
    for level in sorted({level for _, _, level in have}, reverse=True):
        lacks, why = 0, ""
        for t in times_s:
            for name in NEEDED[kind]:
                n = sum(1 for member in members if name not in have.get((member, t, level), ()))
                lacks += n
                if n and (n > 1 or len(members) < _FEWEST_MEMBERS):
                    why = why or f"no {WORDS[name]} at {utc_words(t)}"
        if why:
            report.note(f"level {level_words(level, kind)} left out: {why}")
        else:
            kept.append(level)
            alone += lacks
    report.count(alone if kept else 0, "of one member alone missing: told as unknown", "field")
    return tuple(kept) if members and times_s else ()


def level_words(level: float, kind: LevelKind) -> str:
    """Return a level in words.

    >>> level_words(1000.0, "pressure"), level_words(137.0, "model")
    ('10 hPa', '137 of the model')
    """
    return f"{level / 100:g} hPa" if kind == "pressure" else f"{level:g} of the model"


_FEWEST_MEMBERS: Final = 3
"""With fewer, a field that one lacks is a gap and no exception."""
