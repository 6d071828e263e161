"""Crew: the questions about permissions, and about what has been tried before the flight."""

from farglide.flightfile.asked.parts import Asked, Document, choice, count, in_turn
from farglide.flightfile.sections.permits import (
    PERMISSION_STATES,
    PERMISSIONS,
    needed_permissions,
)

_ALSO = {"yes": "held", "no": "missing"}
_MISSING = "missing, and the plan says NOT CLEARED"
_OF_BOX = {"land": "the land of the launch, and where it is likely to come down"}
_MOST = 1000


def asked_permissions(question: int, doc: Document) -> Asked:
    """Ask for each permission that the flight of a document needs."""
    asked = {**PERMISSIONS, **(_OF_BOX if "payload" in doc else {})}
    parts = [
        choice(key, asked[key], PERMISSION_STATES, _MISSING, also=_ALSO)
        for key in needed_permissions("payload" in doc, {one["purpose"] for one in doc["links"]})
    ]
    return (yield from in_turn(question, *parts))


def asked_trials(question: int) -> Asked:
    """Ask how often the release and the pull-out were tried, and how often each failed."""
    found: Document = {}
    for what, noun in (("release", "releases tried so far"), ("pullout", "pull-outs flown so far")):
        tried = count(f"n_{what}s", f"{noun}, failed ones too", _MOST, "none")
        found |= yield from in_turn(question, tried)
        if n := found.get(f"n_{what}s"):
            failed = count(f"n_{what}_failures", "how many of them failed", n, "none")
            found |= yield from in_turn(question, failed)
    return found
