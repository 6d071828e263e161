"""Stack: fields of one choice laid into arrays of members, times, levels, rows and columns."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import SingleArray
from farglide.sources.files import refused, utc_words
from farglide.sources.grids.choice import Choice
from farglide.sources.grids.field import Field
from farglide.sources.levels.levels import Report

Planes = Callable[[Sequence[Field]], Iterable[tuple[Field, SingleArray]]]
"""What yields fields with their values on the rows and columns of the grid."""

MOST_VALUES: Final = 400_000_000
"""Of all quantities together: 1.6 GB. One flight needs a hundredth."""
SAME: Final = {
    "gph_m": 5.0, "t_k": 0.05, "u_mps": 0.05, "v_mps": 0.05, "rh_ratio": 0.02, "q_ratio": 1e-4,
}  # fmt: skip
"""How far two fields of one kind may be apart by packing alone: geopotential beside height."""
_POSSIBLE: Final = {
    "gph_m": (-1500.0, 100_000.0, "m"), "t_k": (120.0, 350.0, "K"),
    "u_mps": (-250.0, 250.0, "m/s"), "v_mps": (-250.0, 250.0, "m/s"),
    "q_ratio": (-0.01, 0.1, ""),
}  # fmt: skip
"""What air up to 90 km can be, and what models lay below their ground."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Values by quantity, each (n_members, n_times, n_levels, n_rows, n_columns), NaN untold."""

    choice: Choice
    values: dict[str, SingleArray]


class Shape(NamedTuple):
    """How many points a plane has."""

    n_rows: int
    n_columns: int


def stacked(choice: Choice, planes: Planes, shape: Shape, report: Report) -> Stack:
    """Return the fields of a choice in arrays; raise where two of one kind disagree."""
    names = sorted({one.quantity for one in choice.fields})
    axes = (choice.members, choice.times_s, choice.levels)
    whole = (*(len(axis) for axis in axes), *shape)
    _check_size(len(names) * int(np.prod(whole, dtype=np.float64)), report)
    values = {name: np.full(whole, np.nan, np.float32) for name in names}
    places = [{key: i for i, key in enumerate(axis)} for axis in axes]
    filled: dict[tuple[str, int, int, int], Field] = {}
    for one, plane in planes(choice.fields):
        keys = (one.member, one.valid_s, one.level)
        m, t, k = (place[key] for place, key in zip(places, keys, strict=True))
        target = values[one.quantity][m, t, k]
        if (one.quantity, m, t, k) in filled:
            _check_same(one, target, plane)
            continue
        filled[one.quantity, m, t, k] = one
        target[:] = plane
    _check_possible(values, report)
    return Stack(choice=choice, values=values)


def by_file(fields: Sequence[Field]) -> Iterator[tuple[str, list[Field]]]:
    """Yield the paths of fields with the fields in each."""
    paths: dict[str, list[Field]] = {}
    for one in fields:
        paths.setdefault(one.path, []).append(one)
    yield from paths.items()


def _check_size(n: int, report: Report) -> None:
    if n > MOST_VALUES:
        what = f"holds {n} values of what is asked for; allowed: {MOST_VALUES} at once."
        raise report.error(what, "Ask for a smaller area, fewer times or a larger least pressure.")


def _check_same(one: Field, known: SingleArray, plane: SingleArray) -> None:
    apart = np.abs(known - plane)
    if (apart > SAME[one.quantity]).any():
        at = f"{one.quantity} at level {one.level:g} {utc_words(one.valid_s)}"
        what = f"gives {at} again, up to {np.nanmax(apart):g} off the first."
        remedy = "Keep one of the two, or one member of an ensemble."
        raise refused(one.path, what, remedy, where=f"field {one.message + 1}")


def _check_possible(values: dict[str, SingleArray], report: Report) -> None:
    """Make values that air cannot have unknown; raise where they are not a few."""
    for name, (low, high, unit) in _POSSIBLE.items():
        if name not in values:
            continue
        bad = (values[name] < low) | (values[name] > high)
        n = int(bad.sum())
        if n > 0.01 * np.isfinite(values[name]).sum():
            first = values[name][bad][0]
            what = f"has {n} values of {name} outside {low:g} to {high:g} {unit}, such as {first:g}"
            raise report.error(f"{what}.", "Check its units, or fetch it again.")
        values[name][bad] = np.nan
        report.count(n, f"of {name} outside {low:g} to {high:g} {unit} told as unknown", "value")
