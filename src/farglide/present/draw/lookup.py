"""Look-ups in an outlook that several pictures share: nothing here changes a value."""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from math import ceil

from farglide.outlook.ascent import BurstOutlook
from farglide.outlook.fields import FieldOutlook
from farglide.outlook.outlook import Outlook
from farglide.present.say.sentences import has_command, has_picture

SHOWN_SHARE = 59.0 / 60.0  # what fewer than 1 in 60 balloons reach is not drawn


def interpolated(table: Sequence[tuple[float, float]], x: float) -> float:
    """Return the value of a table of rising x, held at its ends.

    >>> interpolated(((0.0, 1.0), (2.0, 3.0)), 1.0), interpolated(((0.0, 1.0), (2.0, 3.0)), 9.0)
    (2.0, 3.0)
    """
    i = bisect_right([row[0] for row in table], x)
    if i == 0:
        return table[0][1]
    if i == len(table):
        return table[-1][1]
    (x0, y0), (x1, y1) = table[i - 1], table[i]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def first_crossing(table: Sequence[tuple[float, float]], y: float) -> float | None:
    """Return the first x at which the table reaches y from below, or None; x may turn back.

    >>> first_crossing(((0.0, 0.0), (10.0, 1.0)), 0.25), first_crossing(((0.0, 0.0),), 1.0)
    (2.5, None)
    """
    if table and table[0][1] >= y:
        return table[0][0]
    for (x0, y0), (x1, y1) in pairwise(table):
        if y0 < y <= y1:
            return x0 + (x1 - x0) * (y - y0) / (y1 - y0)
    return None


def burst_height_amsl_m(burst: BurstOutlook, share: float) -> float:
    """Return the height below which this share has burst; the last known one if fewer ever do."""
    height = first_crossing(burst.by_height, share)
    if height is not None:
        return height
    return burst.by_height[-1][0] if burst.by_height else burst.height_amsl_m.p90


def top_of_scale_km(burst: BurstOutlook) -> int:
    """Return the top of a height scale: 19-in-20 burst height, up to the next even km, plus 2."""
    return 2 * ceil(burst_height_amsl_m(burst, 0.95) / 2000.0) + 2


def chosen_field(outlook: Outlook) -> FieldOutlook:
    """Return the field of the release, else the first."""
    named = [f for f in outlook.fields if outlook.release and f.name == outlook.release.field]
    return named[0] if named else outlook.fields[0]


def shown_fields(outlook: Outlook, n_shown: int) -> dict[int, FieldOutlook]:
    """Return the fields to draw by their numbers, in the order of the file.

    The first, and the field of the release, are always drawn; then those with the best chance.
    """
    release = outlook.release.field if outlook.release else ""
    by_number = dict(enumerate(outlook.fields, start=1))

    def rank(number: int) -> tuple[bool, bool, float]:
        place = by_number[number]
        best = max((step.chance_ratio for step in place.steps), default=0.0)
        return number != 1, place.name != release, -best

    return {n: by_number[n] for n in sorted(sorted(by_number, key=rank)[:n_shown])}


def shown_columns(outlook: Outlook) -> list[str]:
    """Return the chart's columns beside the fields: of links, and of packs where both are there."""
    names = ["picture"] if has_picture(outlook.held) else []
    names += ["command"] if has_command(outlook.held) else []
    return [*names, "packs"] if outlook.held and outlook.packs and outlook.fields else names
