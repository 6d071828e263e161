"""Guesses: in words, which numbers of a flight nobody knows, and which are taken as usual."""

from typing import Final

from farglide.plan.unknowns import UNKNOWNS
from farglide.rig.listening import drive_s
from farglide.sortie.known import Tag
from farglide.sortie.spec import Sortie

_WORDS: Final = {
    "train.line_kg": "mass of line and hook",
    "balloon.purity_ratio": "purity of the gas",
    "balloon.film_stiffness_npm": "stiffness of the film",
    "balloon.leak_ratio_ps": "leak of the balloon",
    "balloon.drag_table": "drag of the balloon",
    "glider.reference_reynolds": "drag growth in thin air",
    "release.seen_error_m": "error of the height that is read",
    "release.gauge_error_pa": "error of the pressure that is read",
    "crew.set_up_s": "time to set up at a stand",
    "launch.amsl_m": "height of the launch",
    "drop.pull_eas_mps": "speed of the pull-out",
    **{key: one.what for one in UNKNOWNS for key in sorted(one.keys)},
}
_PARTS: Final = {
    "energy_wh": "energy of pack {}",
    "cold_ratio": "what the cold leaves of pack {}",
    "insulation_wpk": "insulation of pack {}",
    "amsl_m": "height of {}",
    "offset_db": "budget of the {} link",
}
"""What belongs to one of several parts of a kind, by the end of its key."""
_UNITS: Final = {
    "m", "m2", "mps", "kg", "k", "s", "w", "wh", "deg", "hz", "db", "dbi", "dbm", "ratio",
    "celsius", "pa", "jpkgk", "wpk", "wpm2", "mmph",
}  # fmt: skip
"""Endings of keys that are units."""


def guess_words(sortie: Sortie) -> tuple[str, ...]:
    """Return the numbers that are guesses, in the order of the flight file; drives come last."""
    drives = (
        f"drive to {stand.name}"
        for stand in sortie.stands
        if stand.drive_s is None and drive_s(sortie, stand) > 0.0
    )
    return (*_tagged(sortie, Tag.GUESS), *drives)


def usual_words(sortie: Sortie) -> tuple[str, ...]:
    """Return the numbers that move a flight and are usual values, neither measured nor guessed."""
    guessed = _tagged(sortie, Tag.GUESS)
    usual = {key: one for key, one in sortie.tags.items() if one == Tag.TYPICAL and key in _WORDS}
    return tuple(dict.fromkeys(_WORDS[key] for key in usual if _WORDS[key] not in guessed))


def _tagged(sortie: Sortie, tag: Tag) -> tuple[str, ...]:
    """Return in words, each once, the numbers of one origin."""
    told = (key_words(key) for key, one in sortie.tags.items() if one == tag)
    return tuple(dict.fromkeys(told))


def key_words(key: str) -> str:
    """Return what a key of the flight file stands for; of one without words its own, unit left out.

    >>> key_words("balloon.drag_factor"), key_words("packs[all].cold_ratio")
    ('balloon drag', 'what the cold leaves of pack all')
    >>> key_words("glider.area_m2")
    'area of the glider'
    """
    if key in _WORDS:
        return _WORDS[key]
    section, _, name = key.rpartition(".")
    kind, _, part = section.removesuffix("]").partition("[")
    if part and name in _PARTS:
        return _PARTS[name].format(part)
    words = _unit_left_out(name).replace("_", " ")
    return f"{words} of {part}" if part else f"{words} of the {kind}"


def _unit_left_out(name: str) -> str:
    """Return a key without its unit.

    >>> _unit_left_out("stall_eas_mps"), _unit_left_out("zero_lift_drag")
    ('stall_eas', 'zero_lift_drag')
    """
    head, _, end = name.rpartition("_")
    return head if head and end in _UNITS else name
