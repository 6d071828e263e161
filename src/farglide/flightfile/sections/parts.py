"""Parts: triggers and what is known of single parts, and names of needs that fit nothing."""

import difflib
from collections.abc import Iterator
from typing import Final

from farglide.errors import Problem
from farglide.flightfile.entries import Entries, Entry, Section
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity

_NEEDY: Final = ("links", "triggers")
_OWNERS: Final = ("pack", "link")

_PART_ROWS: Final = (
    Quantity("fails_in_3h", unit.RATIO, (0.0, 1.0),
             "the chance that it fails within three hours is",
             settle="your own record: failures over flights and rehearsals of three hours"),
    Quantity("swap", unit.TIME, (0.0, 7200.0), "to put a spare in its place takes",
             settle="a swap drill with a watch"),
)  # fmt: skip


def part_problems(entries: Entries) -> Iterator[Problem]:
    """Yield needs of packs and links that are not there, and parts that nothing needs."""
    known = {
        owner: {one.name.casefold(): one.name for one in entries.of[f"{owner}s"]}
        for owner in _OWNERS
    }
    for section in _NEEDY:
        for one in entries.of[section]:
            for need in one.lists["needs"]:
                yield from _need_problems(one, need, known)
    for one in entries.of["triggers"]:
        if one.counts["n_failures"] > one.counts["n_tests"]:
            what = f"is {one.counts['n_failures']}, more than n_tests."
            remedy = "n_tests counts all tries, failed ones too."
            yield one.problem("n_failures", what, remedy)
    yield from _unneeded(entries)


def _need_problems(one: Entry, need: str, known: dict[str, dict[str, str]]) -> Iterator[Problem]:
    owner, _, name = need.partition(" ")
    if owner.casefold() not in _OWNERS or not name:
        return
    names = known[owner.casefold()]
    if name.casefold() in names:
        return
    near = difflib.get_close_matches(name.casefold(), names, n=1)
    listed = ", ".join(names.values()) or "none is stated"
    remedy = f'Did you mean "{owner} {names[near[0]]}"?' if near else f"Names: {listed}."
    yield one.problem("needs", f'names "{need}", and there is no such {owner.casefold()}.', remedy)


def _unneeded(entries: Entries) -> Iterator[Problem]:
    needy = [one for section in _NEEDY for one in entries.of[section]]
    needed = {need.casefold() for one in needy for need in one.lists["needs"]}
    for one in entries.of["parts"]:
        if one.name.casefold() not in needed:
            near = difflib.get_close_matches(one.name.casefold(), needed, n=1)
            remedy = f'Did you mean "{near[0]}"?' if near else "Name it in needs of a link."
            yield one.problem("", f'"{one.name}" is needed by nothing.', remedy)


TRIGGERS: Final = Section(
    name="triggers",
    noun="trigger",
    about="One section for each way to release: by command, by a detector of falling, by a clock.",
    texts=("name",),
    lists=("needs",),
    counts=("n_tests", "n_failures"),
    words={
        "name": "the trigger's name; no two alike",
        "needs": 'a list of parts without which it does not release; ``"link command"`` stands '
        "for all that this link needs",
        "n_tests": "how often it was tried, failed ones too",
        "n_failures": "how many of them failed",
    },
)
PARTS: Final = Section(
    name="parts",
    noun="part",
    about="One section for each part of which the crew knows more than its name.",
    rows=_PART_ROWS,
    texts=("name",),
    choices={"at": (("aboard", "ground"), "aboard")},
    words={
        "name": "the part, as a list of needs names it; no two alike",
        "at": '``"aboard"``, not to be mended after the launch, or ``"ground"``; else aboard',
    },
)
