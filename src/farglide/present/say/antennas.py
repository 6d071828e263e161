"""Antennas in words: for each link one sentence of what its antennas make of it."""

import math
from collections.abc import Iterator, Sequence
from textwrap import wrap
from typing import Final

from farglide.present.say.text import number_text
from farglide.rig.antennas import EndGear
from farglide.rig.links import LOW_DEG, LinkGear
from farglide.sortie.antennas import NO_PLACE, EndSpec
from farglide.sortie.spec import FAULT_DB

ONLY_GAINS: Final = "antennas: gains alone are stated, the same in every direction, well aimed"
_WIDTH: Final = 100
_SHOWN_DB: Final = 0.05


def antenna_lines(gear: LinkGear) -> list[str]:
    """Return what the antennas make of a link, as indented lines."""
    told = [
        *(words for end in (gear.sender, gear.receiver) for words in _end_words(end)),
        *_polarisation_words(gear),
        *_noise_words(gear),
        *_rain_words(gear),
    ]
    if not told:
        return [f"  {ONLY_GAINS}"]
    text = f"antennas: {'; '.join(told)}; doubt about the budget {_db(gear.sd_db)}"
    return wrap(text, _WIDTH, initial_indent="  ", subsequent_indent="    ")


def ground_test_lines(gear: LinkGear) -> list[str]:
    """Return what a ground test found against the budget, nothing without one."""
    test, offset_db = gear.spec.tested, gear.test_offset_db
    if test is None and not offset_db:
        return []
    text = "ground test: "
    if test is not None:
        behind = f" behind {test.attenuator_db:g} dB" if test.attenuator_db else ""
        text = (
            f"ground test at {test.distance_m:.0f} m{behind}: "
            f"{_signed(test.margin_db - offset_db)} expected, {_signed(test.margin_db)} found: "
        )
    if abs(offset_db) > FAULT_DB:
        text += (
            f"{_signed(offset_db)} off is more than {FAULT_DB:g} dB: find the fault; until then "
            + ("all margins carry it" if offset_db < 0.0 else "no margin counts on it")
        )
    else:
        text += f"all margins are shifted by {_signed(offset_db)}"
    return wrap(text, _WIDTH, initial_indent="  ", subsequent_indent="    ")


def bounce_line(gear: LinkGear) -> str:
    """Return how far the bounce off the ground swings a link low over the horizon."""
    takes, adds = (f"{number_text(one, 0)} dB" for one in gear.bounce_db)
    return (
        f"  low over smooth ground or water the bounced wave takes up to {takes} or adds up to "
        f"{adds} at {LOW_DEG:.0f}°"
    )


def antenna_section(gears: Sequence[LinkGear]) -> list[str]:
    """Return the antennas of all links under a head; nothing where none states one."""
    rows: list[str] = []
    for gear in gears:
        told = [one for one in antenna_lines(gear) if one != f"  {ONLY_GAINS}"]
        told += ground_test_lines(gear)
        if told:
            rows += [f"  {gear.link.name}", *told]
    return ["What the antennas make of the links", *rows] if rows else []


def _end_words(end: EndGear) -> Iterator[str]:
    spec = end.spec
    if not spec.has_pattern and not spec.damage_db:
        return
    side = "aboard" if spec.aboard else "on the ground"
    words = [f"{side} {_name(spec)}, {number_text(end.gain_dbi, 1)} dBi"]
    if end.width_deg is not None:
        words.append(f"{_width(end.width_deg)} wide")
    if spec.has_pattern:
        words.append(_stance(end))
    if spec.damage_db or spec.damage_skew_deg:
        skew = f", bent by {spec.damage_skew_deg:.0f}°" if spec.damage_skew_deg else ""
        words.append(f"a blow took {_db(spec.damage_db or 0.0)}{skew}")
    yield ", ".join(words)


def _name(spec: EndSpec) -> str:
    if not spec.has_pattern:
        return "antenna"
    if spec.antenna == "helix":
        return f"helix of {spec.n_turns or 0.0:.0f} turns"
    if spec.antenna == "helix array":
        return f"{(spec.n_level or 0.0) * (spec.n_upright or 0.0):.0f} helices"
    return spec.noun


def _stance(end: EndGear) -> str:
    """Return how an antenna is aimed or stands, and what that takes."""
    spec = end.spec
    if end.aim is not None:
        if not spec.aim_spread_deg:
            return "well aimed"
        return f"aimed to {spec.aim_spread_deg:.0f}°: {_db(end.aim.mean_db)}"
    lean = f", leaning {spec.swing_deg:.0f}°" if spec.swing_deg else ""
    middle = len(end.table_db) // 2
    steep = "straight below" if spec.aboard else "straight above"
    level_db, steep_db = float(end.table_db[middle]), float(end.table_db[-1])
    return (
        f"pointing {spec.stands}{lean}: {_signed(level_db)} at the horizon, "
        f"{_signed(steep_db)} {steep}"
    )


def _polarisation_words(gear: LinkGear) -> Iterator[str]:
    found = gear.polarisation
    if found is None:
        return
    pair = f"{gear.sender.spec.polarisation} to {gear.receiver.spec.polarisation}"
    flies = gear.sender.spec if gear.sender.spec.aboard else gear.receiver.spec
    over = "" if flies.swing_deg is not None else " in the mean over all rolls"
    worst = ""
    if found.worst_db > found.mean_db + _SHOWN_DB:
        worst = f", {_db(found.worst_db)} at worst"
    yield f"{pair}: {_db(found.mean_db)}{over if worst else ''}{worst}"


def _noise_words(gear: LinkGear) -> Iterator[str]:
    spec = gear.spec
    if spec.surroundings != NO_PLACE:
        yield f"noise of the place ({spec.surroundings}): {_db(gear.link.receiver.noise_raise_db)}"


def _rain_words(gear: LinkGear) -> Iterator[str]:
    if gear.spec.rain_mmph:
        middle = (len(gear.rain_db) - 1) // 2
        at_10_deg = round(middle * (1.0 + math.sin(math.radians(10.0))))
        losses = f"{_db(float(gear.rain_db[at_10_deg]))} at 10° of elevation"
        yield f"rain of {gear.spec.rain_mmph:g} mm/h: {losses}"


def _width(width_deg: tuple[float, float]) -> str:
    level, upright = (f"{one:.0f}" for one in width_deg)
    return f"{level}°" if level == upright else f"{level} x {upright}°"


def _db(value_db: float) -> str:
    return f"{number_text(value_db, 1)} dB"


def _signed(value_db: float) -> str:
    plus = "+" if round(value_db, 1) > 0.0 else ""
    return f"{plus}{number_text(value_db, 1)} dB"
