"""Unknowns: which guessed number is dearest, by the minutes one deviation of it moves."""

from dataclasses import replace
from functools import partial
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.ensemble import Ensemble, with_balloon, with_glider
from farglide.chances.trial import Trial, tried
from farglide.outlook.changes import Gain
from farglide.plan.changes import gain_between, telling
from farglide.plan.fill import with_value
from farglide.sortie.spec import Known, Tag


class Unknown(NamedTuple):
    """A number that may be guessed, in words, and the test that tells it.

    `also`: keys of the flight file, beside its own, that it is made of.
    """

    section: str
    name: str
    what: str
    test: str
    also: tuple[str, ...] = ()

    @property
    def keys(self) -> set[str]:
        """Return the keys by which the flight file tells whether it is guessed."""
        return {f"{self.section}.{self.name}", *self.also}


_GLIDES: Final = "three timed glides from a known height"
UNKNOWNS: Final = (
    Unknown("balloon", "burst_diameter_m", "bursting diameter",
            "the balloon's own sheet, then your own batch"),
    Unknown("balloon", "early_burst_ratio", "early bursts", "your own record of flights"),
    Unknown("balloon", "neck_lift_kg", "neck lift", "a weight hung on the neck"),
    Unknown("balloon", "drag_factor", "balloon drag", "the first five minutes of one climb",
            also=("balloon.drag_table", "balloon.drag_coefficient")),
    Unknown("balloon", "gas_warmer_k", "gas warmer than the air",
            "one climb by day with its speed at height"),
    Unknown("glider", "zero_lift_drag", "drag of the glider", _GLIDES),
    Unknown("glider", "span_efficiency", "span efficiency", _GLIDES,
            also=("glider.span_efficiency_ratio",)),
    Unknown("glider", "reynolds_exponent", "drag growth in thin air",
            "timed glides of a heavier and a lighter load"),
    Unknown("glider", "glide_factor", "L/D", _GLIDES),
    Unknown("glider", "flown_ratio", "how well it is flown by picture",
            "one picture flight against the polar"),
    Unknown("glider", "lift_max", "stall", "the slowest level flight in calm air"),
    Unknown("glider", "top_eas_mps", "top speed", "the fastest speed flown without flutter"),
    Unknown("glider", "top_mach", "Mach limit", "one release from a lower height"),
    Unknown("drop", "drop_drag", "drag while it falls", "a drop from a kite or mast"),
    Unknown("drop", "heading_s", "time to find the heading", "a rehearsal by picture"),
    Unknown("release", "free_after_burst_ratio", "coming free after a burst",
            "a count of your own flights"),
    Unknown("drop", "reaction_s", "reaction time", "a rehearsal", also=("crew.reaction_s",)),
)  # fmt: skip


def unknowns(base: Trial) -> tuple[Gain, ...]:
    """Return every guessed number by the minutes it moves the release-by time, dearest first.

    Each is moved by one deviation both ways; the worse chance and the larger shift are told.
    """
    tags = base.ensemble.sortie.tags
    unsure = {key for key, tag in tags.items() if tag in (Tag.GUESS, Tag.TYPICAL)}
    found = []
    for unknown in UNKNOWNS:
        if not unknown.keys & unsure:
            continue
        both = (tried(partial(shifted, base.ensemble, unknown, sign)) for sign in (1.0, -1.0))
        sides = [side for side in both if side is not None]
        if sides:
            worse = min(sides, key=lambda side: side.chance_ratio)
            shift_s = max((side.release_by_s - base.release_by_s for side in sides), key=abs)
            gain = gain_between(unknown.what, base, worse, unknown.test)
            found.append(replace(gain, release_by_shift_s=shift_s))
    found = telling(found, base)  # NaN: it leaves nothing open, and is dearest
    found.sort(key=lambda gain: abs(np.nan_to_num(gain.release_by_shift_s, nan=1e9)), reverse=True)
    return tuple(found)


def shifted(ensemble: Ensemble, unknown: Unknown, sign: float) -> Ensemble:
    """Return the ensemble with a number moved by one deviation, by a tenth when it has none."""
    section, name = unknown.section, unknown.name
    known = getattr(getattr(ensemble.sortie, section), name)
    if isinstance(known, Known):
        value = known.value + sign * (known.sd or 0.1 * abs(known.value))
    else:
        value = known * (1.0 + 0.1 * sign)
    sortie = with_value(ensemble.sortie, section, name, value)
    if section == "release":
        return replace(ensemble, sortie=sortie)
    if section == "balloon":
        return with_balloon(ensemble, sortie)
    return with_glider(ensemble, sortie, ensemble.grain)
