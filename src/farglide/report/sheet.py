"""The sheets after the first: each with one job, and the parts of the plan that serve it."""

from collections.abc import Sequence
from typing import Final, NamedTuple

from farglide.outlook.outlook import Outlook
from farglide.present.markup import N_LETTERS, n_letters
from farglide.present.part import Part
from farglide.present.say import launch
from farglide.present.say.answer import answer_parts
from farglide.present.say.gains import BETTER_HEAD, UNKNOWNS_HEAD, WORSE_HEAD

Titles = tuple[str, ...]
"""Parts that stand side by side."""


class Job(NamedTuple):
    """What a sheet is for, and its parts from top to bottom."""

    key: str
    title: str
    short: str  # for a link to it
    order: tuple[Titles, ...]


class Sheet(NamedTuple):
    """A sheet with its parts in groups that stand side by side."""

    key: str
    title: str
    short: str
    groups: Sequence[Sequence[Part]]


JOBS: Final = (
    Job("launching", "Fill and launch", "Fill", (
        (launch.TITLE,),
    )),
    Job("aiming", "Aim, hold and release", "Aim", (
        ("Where to aim", "What to fly, by height"), ("Release",),
        ("The end of the day", "Car and links"), ("Levels",), ("Where the picture is lost",),
        ("Each field, if released then",),
    )),
    Job("wrong", "When it goes wrong", "Trouble", (
        ("No picture, still on the line",), ("If nobody steers",),
        ("Picture worse than it should be",), ("If a link is weaker",),
        ("Barriers on the way home",),
    )),
    Job("granted", "What was taken for granted", "Guesses", (
        (UNKNOWNS_HEAD,), (BETTER_HEAD, WORSE_HEAD), ("The glider by height",),
    )),
)  # fmt: skip
LAST: Final = ("Notes", "Cautions")
ON_CARDS: Final = ("Fill", "Waiting with the packs on", "Burst, the glider still tied on")
"""Said in full by the cards beside the fill, and by that of what fails."""
N_NARROW: Final = 4  # columns that half a sheet holds, more where they are as narrow as on a phone


def sheets(outlook: Outlook) -> list[Sheet]:
    """Return the sheets; a part without a place comes late on the last one."""
    parts = {part.title: part for part in answer_parts(outlook) if part.is_printed}
    orders = [job.order for job in JOBS]
    placed = {title for order in orders for group in order for title in group}
    late = tuple((title,) for title in parts if title not in {*placed, *LAST, *ON_CARDS})
    orders[-1] = (*orders[-1], *late, LAST)
    return [
        Sheet(job.key, job.title, job.short, _groups(order, parts))
        for job, order in zip(JOBS, orders, strict=True)
    ]


def _groups(order: tuple[Titles, ...], parts: dict[str, Part]) -> list[list[Part]]:
    groups = ([parts[title] for title in group if title in parts] for group in order)
    return [side for group in groups for side in _beside(group)]


def _beside(group: list[Part]) -> list[list[Part]]:
    """Return a group as it is, or each part alone where one of them needs the width."""
    tables = [part.table for part in group if part.table and part.table.rows]
    if any(len(one.columns) > N_NARROW and n_letters(one) > N_LETTERS for one in tables):
        return [[part] for part in group]
    return [group] if group else []
