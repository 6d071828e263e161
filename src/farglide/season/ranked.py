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
    """Return cells, the best first: by chance, then less time without home, then the drive.

    What is within 2 in 100 of the best is as good as it, then what is so of the best that is left.
    """

    def by_chance(cell: SeasonCell) -> tuple[bool, float]:
        return cell.limit in _UNDONE, -found.chance(cell)

    def among_alike(cell: SeasonCell) -> tuple[int, float, float, float]:
        minutes, drive_s = round(cell.shut_s / 60.0), found.spots[cell.spot].drive_s
        return minutes, drive_s, cell.launch_t_s, cell.neck_lift_kg

    groups = list[list[SeasonCell]]()
    for cell in sorted(cells, key=by_chance):
        if groups and _are_alike(found, groups[-1][0], cell):
            groups[-1].append(cell)
        else:
            groups.append([cell])
    return tuple(one for group in groups for one in sorted(group, key=among_alike))


def changes(found: SeasonOutlook) -> Iterator[str]:
    """Yield in words what would change the order of the first."""
    if not found.cells:
        return
    first = found.cells[0]
    alike = [one for one in found.cells[1:] if _are_alike(found, first, one)]
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


def _are_alike(found: SeasonOutlook, best: SeasonCell, one: SeasonCell) -> bool:
    """Tell whether a cell that comes after another by its chance is as good as that."""
    same = (best.limit in _UNDONE) == (one.limit in _UNDONE)
    return same and abs(found.chance(best) - found.chance(one)) <= ALIKE_RATIO
