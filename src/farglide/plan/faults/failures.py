"""Failures: which single part ends which links or the release, and how long there is to mend it.

That a part which everything needs is worth a second one is common practice, no source. No chance is
made up: where the crew has typed none for a part, none comes back.
"""

from collections.abc import Sequence
from math import prod
from typing import Final

import numpy as np

from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble
from farglide.chances.spells import worth
from farglide.chances.window import Decision
from farglide.outlook.faults import Failures, PartFailure, Phase, PhaseHand, TriggerRecord
from farglide.plan.faults.unsteered import door_life_s
from farglide.sim.core.shares import failure_bound_ratio
from farglide.sortie.gear import TriggerSpec
from farglide.sortie.spec import LinkSpec, Sortie

_LINK: Final = "link "


def failures(
    plain: Ensemble, chances: Chances, decision: Decision | None, moment: int
) -> Failures | None:
    """Return the single points of failure of a flight, None where the file names no needs.

    `moment`: of the release on the clock of the error-free ensemble.
    """
    sortie = plain.sortie
    if not sortie.triggers and not any(link.needs for link in sortie.links):
        return None
    records = tuple(
        TriggerRecord(
            trigger=one.name,
            n_tests=one.n_tests,
            n_failures=one.n_failures,
            fails_ratio=failure_bound_ratio(one.n_tests, one.n_failures) if one.n_tests else None,
        )
        for one in sortie.triggers
    )
    known = [one.fails_ratio for one in records if one.fails_ratio is not None]
    return Failures(
        parts=part_failures(sortie),
        hands=_hands(plain, chances, decision, moment),
        triggers=records,
        shared_by_triggers=_shared(sortie),
        none_releases_ratio=prod(known) if records and len(known) == len(records) else None,
    )


def part_failures(sortie: Sortie) -> tuple[PartFailure, ...]:
    """Return what ends with each part alone, the worst first: release, purposes, then links."""
    shared = _shared(sortie)
    found = [_failure(sortie, name, name in shared) for name in _names(sortie)]
    found.sort(key=lambda one: (not one.ends_release, -len(one.purposes), -len(one.links)))
    return tuple(one for one in found if one.links or one.ends_release)


def _names(sortie: Sortie) -> tuple[str, ...]:
    """Return every part by the name it is first written with; links stand for their own needs."""
    found: dict[str, str] = {}
    needs = [need for link in sortie.links for need in link.needs]
    needs += [need for trigger in sortie.triggers for need in trigger.needs]
    for need in needs:
        if not need.casefold().startswith(_LINK):
            found.setdefault(need.casefold(), need)
    return tuple(found.values())


def needs_of(one: LinkSpec | TriggerSpec, links: Sequence[LinkSpec]) -> frozenset[str]:
    """Return all parts that a link or trigger needs, in lower case, through the links it names."""
    waiting, seen, found = [need.casefold() for need in one.needs], set[str](), set[str]()
    by_name = {link.name.casefold(): link for link in links}
    while waiting:
        need = waiting.pop()
        link = by_name.get(need[len(_LINK) :]) if need.startswith(_LINK) else None
        if link is None:
            found.add(need)
        elif need not in seen:
            seen.add(need)
            waiting += [other.casefold() for other in link.needs]
    return frozenset(found)


def _failure(sortie: Sortie, name: str, ends_release: bool) -> PartFailure:
    key = name.casefold()
    lost = [link for link in sortie.links if key in needs_of(link, sortie.links)]
    left = {link.purpose for link in sortie.links if link not in lost}
    purposes = dict.fromkeys(link.purpose for link in lost if link.purpose not in left)
    part = {part.name.casefold(): part for part in sortie.parts}.get(key)
    chance = part.fails_in_3h_ratio if part else None
    return PartFailure(
        part=name,
        at=part.at if part else None,
        links=tuple(link.name for link in lost),
        purposes=tuple(purposes),
        ends_release=ends_release,
        swap_s=part.swap_s if part else None,
        fails_in_3h_ratio=chance,
        both_fail_in_3h_ratio=None if chance is None else chance**2,
    )


def _shared(sortie: Sortie) -> tuple[str, ...]:
    """Return the parts that every trigger needs: a second trigger does not make them two."""
    if not sortie.triggers:
        return ()
    common = frozenset.intersection(*(needs_of(one, sortie.links) for one in sortie.triggers))
    return tuple(name for name in _names(sortie) if name.casefold() in common)


def _hands(
    plain: Ensemble, chances: Chances, decision: Decision | None, moment: int
) -> tuple[PhaseHand, ...]:
    """Return the time in hand from the beginning of each phase.

    Before the release a loss must be mended, or the glider released without, while some field is
    open and the balloon likely whole; after it, with nothing commanded, before the door of the
    chosen field shuts.
    """
    last_s, name = _last_worth(plain.sortie, chances)
    until = f"the last moment worth a release, for {name}" if name else "none is worth a release"
    begins: dict[Phase, float] = {"climb": 0.0}
    if decision is not None:
        begins["window"] = decision.from_s
    hands = [
        PhaseHand(
            phase=phase,
            from_after_launch_s=from_s,
            in_hand_s=max(last_s - from_s, 0.0) if name else None,
            until=until,
        )
        for phase, from_s in begins.items()
    ]
    if decision is not None:
        gliding = PhaseHand(
            phase="glide",
            from_after_launch_s=decision.release_by_s,
            in_hand_s=door_life_s(plain, moment, decision.field),
            until=f"{plain.sortie.fields[decision.field].name} is out of reach, hands off",
        )
        hands.append(gliding)
    return tuple(hands)


def _last_worth(sortie: Sortie, chances: Chances) -> tuple[float, str]:
    """Return the last moment worth a release, and its field; no name where there is none."""
    allowed = worth(chances, sortie.wish)
    if not allowed.any():
        return 0.0, ""
    last = int(np.flatnonzero(allowed.any(axis=1))[-1])
    return float(chances.after_launch_s[last]), sortie.fields[int(np.argmax(allowed[last]))].name
