"""Unknowns: what nobody has measured, by the chance that one deviation of it moves."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.chances.trial import Trial, tried
from farglide.outlook.changes import Gain
from farglide.plan.changes import gain_between, telling
from farglide.plan.shifts import (
    has_old_winds,
    link_off,
    manned_otherwise,
    moved,
    number_off,
    pack_off,
    reading_off,
    winds_off,
)
from farglide.rig.listening import drive_s
from farglide.sortie.known import Tag
from farglide.sortie.spec import Sortie

Shift = Callable[[Ensemble, float], Ensemble]

_ROAD_RATIO: Final = 0.25
"""A drive guessed from the straight line may be off by so much."""
_FELT: Final = 0.005


class Unknown(NamedTuple):
    """A number that may be guessed, in words, and the test that tells it.

    `also`: keys of the flight file, beside its own, that it is made of; `is_measured`: whether the
    flight file can say so.
    """

    section: str
    name: str
    what: str
    test: str
    also: tuple[str, ...] = ()
    is_measured: bool = True

    @property
    def keys(self) -> set[str]:
        """Return the keys by which the flight file tells whether it is guessed."""
        return {f"{self.section}.{self.name}", *self.also}


class Asked(NamedTuple):
    """What is asked about: in words, the cheapest test that settles it, and how it is moved."""

    what: str
    test: str
    shift: Shift


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
    Unknown("glider", "glide_factor", "glide ratio", _GLIDES),
    Unknown("glider", "flown_ratio", "how well it is flown by picture",
            "one picture flight against the polar", is_measured=False),
    Unknown("glider", "lift_max", "stall", "the slowest level flight in calm air"),
    Unknown("glider", "top_eas_mps", "top speed", "the fastest speed flown without flutter"),
    Unknown("glider", "top_mach", "Mach limit", "one release from a lower height"),
    Unknown("drop", "drop_drag", "drag while it falls", "a drop from a kite or mast"),
    Unknown("drop", "heading_s", "time to find the heading", "a rehearsal by picture"),
    Unknown("release", "free_after_burst_ratio", "coming free after a burst",
            "a count of your own flights"),
    Unknown("train", "remains_drag_area_m2", "drag of the remains after a burst",
            "the time that one burst took to come down"),
    Unknown("release", "seen_to_amsl_m", "how high up the height is seen",
            "the receiver's own sheet, then the track of one flight"),
    Unknown("drop", "reaction_s", "reaction time", "a rehearsal", also=("crew.reaction_s",)),
)  # fmt: skip


def unknowns(base: Trial) -> tuple[Gain, ...]:
    """Return all that is not known, by the chance it moves, then by the minutes, costliest first.

    Each is moved by one deviation both ways; the worse chance, how far both are apart and the
    larger shift of the last release are told.
    """
    found = []
    for asked in asked_about(base.ensemble):
        both = (tried(partial(asked.shift, base.ensemble, sign)) for sign in (1.0, -1.0))
        sides = [side for side in both if side is not None]
        if sides:
            sides = sides if len(sides) == 2 else [*sides, base]
            worse, better = sorted(sides, key=lambda side: side.chance_ratio)
            shift_s = max((side.release_by_s - base.release_by_s for side in sides), key=abs)
            apart = better.chance_ratio - worse.chance_ratio
            gain = gain_between(asked.what, base, worse, asked.test)
            found.append(replace(gain, release_by_shift_s=shift_s, moved_ratio=apart))
    told = telling(found, base)
    found = [one for one in found if one in told or one.moved_ratio >= _FELT]
    found.sort(key=_cost, reverse=True)
    return tuple(found)


def _cost(gain: Gain) -> tuple[float, float]:
    """Return by what unknowns are put in order; NaN leaves nothing open, and costs most."""
    return round(gain.moved_ratio, 2), abs(float(np.nan_to_num(gain.release_by_shift_s, nan=1e9)))


def asked_about(ensemble: Ensemble) -> list[Asked]:
    """Return all that is guessed, usual or untested, in the order of the flight file."""
    sortie = ensemble.sortie
    unsure = {key for key, tag in sortie.tags.items() if tag in (Tag.GUESS, Tag.TYPICAL)}
    found = [
        Asked(one.what, one.test, partial(_number_off, one))
        for one in UNKNOWNS
        if one.keys & unsure or not one.is_measured
    ]
    found += _packs(sortie, unsure)
    seen = {"release.seen_error_m", "release.gauge_error_pa"}
    if seen & unsure and sortie.release.seen_by != "none":
        test = "a second receiver beside it on one flight"
        found.append(Asked("the height that the crew reads", test, reading_off))
    if has_old_winds(ensemble):
        test = "newer winds, fetched shortly before the launch"
        found.append(Asked("winds along the drift, out and home", test, winds_off))
    if ensemble.listening is not None:
        found += [*_links(sortie, ensemble.listening.needed, unsure), *_drives(sortie, unsure)]
    return found


def shifted(ensemble: Ensemble, unknown: Unknown, sign: float) -> Ensemble:
    """Return the ensemble with a number moved by one deviation, by a tenth when it has none."""
    return number_off(ensemble, unknown.section, unknown.name, sign)


def _number_off(unknown: Unknown, ensemble: Ensemble, sign: float) -> Ensemble:
    return shifted(ensemble, unknown, sign)


def _packs(sortie: Sortie, unsure: set[str]) -> Iterator[Asked]:
    """Yield what packs hold and what the cold leaves of it, where that is not measured."""
    for row, pack in enumerate(sortie.packs):
        for name, what, test in (
            ("energy_wh", "energy of", "the whole rig run until it dies, warm"),
            ("cold_ratio", "what the cold leaves of", "the whole rig run in a freezer"),
            ("insulation_wpk", "insulation of", "its box closed round a resistor of 1 W"),
        ):
            if f"packs[{pack.name}].{name}" in unsure:
                shift = partial(_pack_off, row, name)
                yield Asked(f"{what} pack {pack.name}", test, shift)


def _pack_off(row: int, name: str, ensemble: Ensemble, sign: float) -> Ensemble:
    return pack_off(ensemble, row, name, sign)


def _links(sortie: Sortie, needed: tuple[str, ...], unsure: set[str]) -> Iterator[Asked]:
    """Yield the budgets of links that a field needs and that no ground test has told."""
    for row, link in enumerate(sortie.links):
        tested = link.tested is not None or f"links[{link.name}].offset_db" not in unsure
        if link.purpose in needed and not tested:
            what = f"budget of the {link.name} link (off by {link.spread_db:g} dB)"
            yield Asked(what, "the ground test", partial(_link_off, row))


def _link_off(row: int, ensemble: Ensemble, sign: float) -> Ensemble:
    return link_off(ensemble, row, sign)


def _drives(sortie: Sortie, unsure: set[str]) -> Iterator[Asked]:
    """Yield the time to set up and the drives that are guessed."""
    if "crew.set_up_s" in unsure:
        yield Asked("time to set up at a stand", "a rehearsal with a clock", _set_up_off)
    for row, stand in enumerate(sortie.stands):
        if stand.drive_s is None and drive_s(sortie, stand) > 0.0:
            test = "drive it once with a clock"
            yield Asked(f"drive to {stand.name}", test, partial(_drive_off, row))


def _set_up_off(ensemble: Ensemble, sign: float) -> Ensemble:
    sortie = ensemble.sortie
    other = replace(sortie, set_up_s=moved(sortie.set_up_s, 0.0, sign))
    return manned_otherwise(ensemble, other)


def _drive_off(row: int, ensemble: Ensemble, sign: float) -> Ensemble:
    sortie = ensemble.sortie
    takes_s = drive_s(sortie, sortie.stands[row]) * (1.0 + sign * _ROAD_RATIO)
    stands = list(sortie.stands)
    stands[row] = replace(stands[row], drive_s=takes_s)
    return manned_otherwise(ensemble, replace(sortie, stands=tuple(stands)))
