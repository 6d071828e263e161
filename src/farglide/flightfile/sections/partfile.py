"""Parts of a flight file: triggers and parts out of their entries, and names that fit nothing."""

import difflib
from collections.abc import Iterator
from typing import Final, Literal, cast

from farglide.errors import Problem
from farglide.flightfile.entries import Entry, Sheet
from farglide.sortie.spec import PartSpec, TriggerSpec

_OWNERS: Final = ("pack", "link")


def trigger_spec(one: Entry) -> TriggerSpec:
    """Return a trigger whose entry was found without problems."""
    return TriggerSpec(
        name=one.name,
        needs=one.lists["needs"],
        n_tests=one.counts["n_tests"],
        n_failures=one.counts["n_failures"],
    )


def part_spec(one: Entry) -> PartSpec:
    """Return a part whose entry was found without problems."""
    fails, swap = one.numbers["fails_in_3h_ratio"], one.numbers["swap_s"]
    return PartSpec(
        name=one.name,
        at=cast(Literal["aboard", "ground"], one.texts["at"]),
        fails_in_3h_ratio=fails.value if fails.given else None,
        swap_s=swap.value if swap.given else None,
    )


def part_problems(sheet: Sheet) -> Iterator[Problem]:
    """Yield needs of packs and links that are not there, and parts that nothing needs."""
    known = {
        "pack": {one.name.casefold(): one.name for one in sheet.packs},
        "link": {one.name.casefold(): one.name for one in sheet.links},
    }
    for section, entries in (("links", sheet.links), ("triggers", sheet.triggers)):
        for i, one in enumerate(entries, start=1):
            for need in one.lists.get("needs", ()):
                yield from _need_problems(f"[[{section}]] {i} needs", need, known)
    for i, one in enumerate(sheet.triggers, start=1):
        if one.counts["n_failures"] > one.counts["n_tests"]:
            what = f"is {one.counts['n_failures']}, more than n_tests."
            remedy = "n_tests counts all tries, failed ones too."
            yield Problem(f"[[triggers]] {i} n_failures", what, remedy)
    yield from _unneeded(sheet)


def _need_problems(where: str, need: str, known: dict[str, dict[str, str]]) -> Iterator[Problem]:
    owner, _, name = need.partition(" ")
    if owner.casefold() not in _OWNERS or not name:
        return
    names = known[owner.casefold()]
    if name.casefold() in names:
        return
    near = difflib.get_close_matches(name.casefold(), names, n=1)
    listed = ", ".join(names.values()) or "none is stated"
    remedy = f'Did you mean "{owner} {names[near[0]]}"?' if near else f"Names: {listed}."
    yield Problem(where, f'names "{need}", and there is no such {owner.casefold()}.', remedy)


def _unneeded(sheet: Sheet) -> Iterator[Problem]:
    needed = {
        need.casefold()
        for one in (*sheet.links, *sheet.triggers)
        for need in one.lists.get("needs", ())
    }
    for i, one in enumerate(sheet.parts, start=1):
        if one.name.casefold() not in needed:
            near = difflib.get_close_matches(one.name.casefold(), needed, n=1)
            remedy = f'Did you mean "{near[0]}"?' if near else "Name it in needs of a link."
            yield Problem(f"[[parts]] {i}", f'"{one.name}" is needed by nothing.', remedy)
