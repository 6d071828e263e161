"""Unknowns: which guessed number is dearest, by the minutes one deviation of it moves."""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from farglide.chances.ensemble import Ensemble, with_balloon, with_glider
from farglide.chances.trial import Trial, tried
from farglide.outlook.changes import Gain
from farglide.plan.changes import gain_between, tells
from farglide.sortie.spec import Known, Sortie, Tag


def _shifted(section: str, key: str, sign: float) -> Callable[[Sortie], Sortie]:
    """Return a change that moves a number by one standard deviation (a tenth when it has none)."""

    def change(sortie: Sortie) -> Sortie:
        part = getattr(sortie, section)
        value = getattr(part, key)
        if isinstance(value, Known):
            moved: object = replace(
                value, value=value.value + sign * (value.sd or 0.1 * abs(value.value))
            )
        else:
            moved = value * (1.0 + 0.1 * sign)
        return replace(sortie, **{section: replace(part, **{key: moved})})

    return change


_GLIDES: Final = "three timed glides from a known height"
UNKNOWNS: Final[tuple[tuple[str, str, str, str, str], ...]] = (
    ("balloon.burst_diameter", "bursting diameter", "balloon", "burst_diameter_m",
     "the balloon's own sheet, then your own batch"),
    ("balloon.neck_lift", "neck lift", "balloon", "neck_lift_kg", "a weight hung on the neck"),
    ("balloon.drag_table", "balloon drag", "balloon", "drag_factor",
     "the first five minutes of one climb"),
    ("balloon.drag_coefficient", "balloon drag", "balloon", "drag_factor",
     "the first five minutes of one climb"),
    ("balloon.drag_factor", "balloon drag", "balloon", "drag_factor",
     "the first five minutes of one climb"),
    ("balloon.gas_warmer", "gas warmer than the air", "balloon", "gas_warmer_k",
     "one climb by day with its speed at height"),
    ("glider.zero_lift_drag", "drag of the glider", "glider", "zero_lift_drag", _GLIDES),
    ("glider.span_efficiency", "span efficiency", "glider", "span_efficiency", _GLIDES),
    ("glider.span_efficiency_ratio", "span efficiency", "glider", "span_efficiency", _GLIDES),
    ("glider.reynolds_exponent", "drag growth in thin air", "glider", "reynolds_exponent",
     "timed glides of a heavier and a lighter load"),
    ("glider.glide_factor", "L/D", "glider", "glide_factor", _GLIDES),
    ("glider.flown_ratio", "how well it is flown by picture", "glider", "flown_ratio",
     "one picture flight against the polar"),
    ("glider.lift_max", "stall", "glider", "lift_max", "the slowest level flight in calm air"),
    ("glider.top_eas", "top speed", "glider", "top_eas_mps",
     "the fastest speed flown without flutter"),
    ("glider.top_mach", "Mach limit", "glider", "top_mach", "one release from a lower height"),
    ("drop.drop_drag", "drag while it falls", "drop", "drop_drag", "a drop from a kite or mast"),
    ("drop.heading", "time to find the heading", "drop", "heading_s", "a rehearsal by picture"),
    ("crew.reaction", "reaction time", "drop", "reaction_s", "a rehearsal"),
    ("drop.reaction", "reaction time", "drop", "reaction_s", "a rehearsal"),
)  # fmt: skip


def unknowns(base: Trial) -> tuple[Gain, ...]:
    """Return every guessed number by the minutes it moves the release-by time, dearest first.

    Each is moved by one deviation both ways; the worse chance and the larger shift are told.
    """
    sortie = base.ensemble.sortie
    found, seen = [], set()
    for key, what, section, name, test in UNKNOWNS:
        if not _is_unsure(sortie, key) or (section, name) in seen:
            continue
        seen.add((section, name))
        both = (_tried_shift(base, (section, name), sign) for sign in (1.0, -1.0))
        sides = [side for side in both if side is not None]
        if not sides:
            continue
        worse = min(sides, key=lambda side: side.chance_ratio)
        shift = max((s.release_by_s - base.release_by_s for s in sides), key=abs)
        found.append(replace(gain_between(what, base, worse, test), release_by_shift_s=shift))
    telling = [gain for gain in found if tells(gain, base)]
    return tuple(sorted(telling, key=_dearness, reverse=True))


def _tried_shift(base: Trial, number: tuple[str, str], sign: float) -> Trial | None:
    """Return the trial with one number a deviation up or down, None where that cannot be."""
    ensemble, (section, _) = base.ensemble, number

    def changed() -> Ensemble:
        shifted = _shifted(*number, sign)(ensemble.sortie)
        if section == "balloon":
            return with_balloon(ensemble, shifted)
        return with_glider(ensemble, shifted, ensemble.grain)

    return tried(changed)


def _is_unsure(sortie: Sortie, key: str) -> bool:
    return any(
        tag in (Tag.GUESS, Tag.TYPICAL) and (name == key or name.startswith(f"{key}_"))
        for name, tag in sortie.tags.items()
    )


def _dearness(gain: Gain) -> float:
    return (
        abs(gain.release_by_shift_s) if gain.release_by_shift_s == gain.release_by_shift_s else 1e9
    )
