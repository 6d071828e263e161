"""Crew: the questions about permissions, and about what has been tried before the flight."""

from farglide.flightfile.asked.parts import Asked, Document, choice, count, in_turn
from farglide.flightfile.sections.flight import PERMISSION_STATES, PERMISSIONS

_ALSO = {"yes": "held", "no": "missing"}
_MOST = 1000


def asked_permissions(question: int, purposes: set[str]) -> Asked:
    """Ask for each permission; for that of a radio only where there is one of its purpose."""
    radios = {"command_radio": "command", "picture_radio": "picture"}
    keys = [key for key in PERMISSIONS if radios.get(key, "") in ("", *purposes)]
    parts = [
        choice(key, PERMISSIONS[key], PERMISSION_STATES, "missing", also=_ALSO) for key in keys
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
