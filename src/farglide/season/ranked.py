"""Ranked: cells in the order of the wish, and what would change that order."""

from collections.abc import Iterable, Iterator
from typing import Final

from farglide.earth.clock import day_clock_text
from farglide.outlook.season import SeasonCell, SeasonOutlook
from farglide.sortie.words import chance_words

ALIKE_RATIO: Final = 0.02
"""Chances within this are alike: then the time without home, and the drive, decide."""
_UNDONE: Final = ("barred", "ground wind")
"""What nobody launches from, however good its chance."""


def ranked(found: SeasonOutlook, cells: Iterable[SeasonCell]) -> tuple[SeasonCell, ...]:
    """Return cells, the best first: by chance, then less time without home, then the drive."""

    def key(cell: SeasonCell) -> tuple[bool, int, int, float, float, float]:
        return (
            cell.limit in _UNDONE,
            -round(found.chance(cell) / ALIKE_RATIO),
            round(cell.shut_s / 60.0),
            found.spots[cell.spot].drive_s,
            cell.launch_t_s,
            cell.neck_lift_kg,
        )

    return tuple(sorted(cells, key=key))


def changes(found: SeasonOutlook) -> Iterator[str]:
    """Yield in words what would change the order of the first."""
    if not found.cells:
        return
    first = found.cells[0]
    alike = [one for one in found.cells[1:] if _is_alike(found, one, first)]
    if alike:
        n = len(alike)
        others = "one more is" if n == 1 else f"{n} more are"
        yield (
            f"{others} as good within 2 in 100: among these less time without home comes first, "
            "then the shorter drive"
        )
    for limit, what in (
        ("ground wind", "if the wind at the ground were within your limit"),
        ("barred", "if nothing barred that spot"),
    ):
        held = [one for one in found.cells if one.limit == limit]
        best = max(held, key=found.chance, default=None)
        if best is not None and found.chance(best) > found.chance(first) + ALIKE_RATIO:
            yield f"{what}, {cell_words(found, best)} would come first"
    for one in found.early:
        if one.then_ratio > found.chance(first) + ALIKE_RATIO:
            when = day_clock_text(one.launch_t_s, found.zone)
            yield f"a later forecast may put {when} first: {chance_words(one.then_ratio)} then"


def cell_words(found: SeasonOutlook, cell: SeasonCell) -> str:
    """Return a cell in a few words: when, from where, with what chance."""
    when = day_clock_text(cell.launch_t_s, found.zone)
    return f"{when} from {found.spots[cell.spot].name} ({chance_words(found.chance(cell))})"


def _is_alike(found: SeasonOutlook, one: SeasonCell, first: SeasonCell) -> bool:
    gap = abs(found.chance(one) - found.chance(first))
    return one.limit not in _UNDONE and gap <= ALIKE_RATIO
