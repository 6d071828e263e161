"""Antennas in words: for each link one sentence of what its antennas make of it."""

from collections.abc import Sequence
from typing import Final

from farglide.outlook import antennas
from farglide.present.lines import fact_lines
from farglide.sortie.words import number_text

ONLY_GAINS: Final = "antennas: gains alone are stated, the same in every direction, well aimed"
_SHOWN_DB: Final = 0.05


def antenna_lines(found: antennas.LinkAntennas) -> list[str]:
    """Return what the antennas make of a link, as indented lines."""
    told = [*map(_end_words, found.ends)]
    told += [_polarisation_words(found.polarisation)] if found.polarisation else []
    if found.noise is not None:
        told.append(f"noise of the place ({found.noise.place}): {_db(found.noise.raise_db)}")
    if (rain := found.rain) is not None:
        losses = f"{_db(rain.loss_db)} at {rain.at_deg:.0f}° of elevation"
        told.append(f"rain of {rain.mmph:g} mm/h: {losses}")
    text = f"antennas: {'; '.join(told)}; doubt about the budget {_db(found.doubt_db)}"
    return fact_lines([text if told else ONLY_GAINS])


def ground_test_lines(found: antennas.GroundTestOutlook | None) -> list[str]:
    """Return what a ground test found against the budget, nothing without one."""
    if found is None:
        return []
    test, offset_db, text = found.test, found.offset_db, "ground test: "
    if test is not None:
        behind = f" behind {test.attenuator_db:g} dB" if test.attenuator_db else ""
        expected = f"{_signed(test.margin_db - offset_db)} expected"
        found_words = f"{_signed(test.margin_db)} found"
        text = f"ground test at {test.distance_m:.0f} m{behind}: {expected}, {found_words}: "
    if found.is_fault:
        until = "all margins carry it" if offset_db < 0.0 else "no margin counts on it"
        off = f"{_signed(offset_db)} off is more than {found.fault_db:g} dB"
        text += f"{off}: find the fault; until then {until}"
    else:
        text += f"all margins are shifted by {_signed(offset_db)}"
    return fact_lines([text])


def bounce_line(found: antennas.BounceOutlook) -> str:
    """Return how far the bounce off the ground swings a link low over the horizon."""
    takes, adds = (f"{number_text(one, 0)} dB" for one in (found.takes_db, found.adds_db))
    swing = f"takes up to {takes} or adds up to {adds} at {found.at_deg:.0f}°"
    return f"  low over smooth ground or water the bounced wave {swing}"


def antenna_section(links: Sequence[antennas.LinkAntennas]) -> list[str]:
    """Return the antennas of all links under a head; nothing where none states one."""
    rows: list[str] = []
    for found in links:
        told = [one for one in antenna_lines(found) if one != f"  {ONLY_GAINS}"]
        told += ground_test_lines(found.tested)
        if told:
            rows += [f"  {found.link}", *told]
    return ["What the antennas make of the links", *rows] if rows else []


def _end_words(end: antennas.EndOutlook) -> str:
    side = "aboard" if end.aboard else "on the ground"
    words = [f"{side} {end.name}, {number_text(end.gain_dbi, 1)} dBi"]
    if end.beam is not None:
        level, upright = (f"{one:.0f}" for one in (end.beam.level_deg, end.beam.upright_deg))
        words.append(f"{level}° wide" if level == upright else f"{level} x {upright}° wide")
    if (aim := end.aim) is not None:
        how = f"aimed to {aim.spread_deg:.0f}°: {_db(aim.loss_db)}"
        words.append(how if aim.spread_deg else "well aimed")
    if end.stance is not None:
        words.append(_stance(end.stance, "straight below" if end.aboard else "straight above"))
    if end.damage_db or end.damage_skew_deg:
        skew = f", bent by {end.damage_skew_deg:.0f}°" if end.damage_skew_deg else ""
        words.append(f"a blow took {_db(end.damage_db)}{skew}")
    return ", ".join(words)


def _stance(stance: antennas.StanceOutlook, steep: str) -> str:
    """Return how an antenna stands, and what that takes."""
    lean = f", leaning {stance.lean_deg:.0f}°" if stance.lean_deg else ""
    level, high = _signed(stance.level_db), _signed(stance.steep_db)
    return f"pointing {stance.points}{lean}: {level} at the horizon, {high} {steep}"


def _polarisation_words(found: antennas.PolarisationOutlook) -> str:
    over, worst = "", ""
    if found.worst_db > found.mean_db + _SHOWN_DB:
        over = " in the mean over all rolls" if found.any_roll else ""
        worst = f", {_db(found.worst_db)} at worst"
    return f"{found.sender} to {found.receiver}: {_db(found.mean_db)}{over}{worst}"


def _db(value_db: float) -> str:
    return f"{number_text(value_db, 1)} dB"


def _signed(value_db: float) -> str:
    plus = "+" if round(value_db, 1) > 0.0 else ""
    return f"{plus}{number_text(value_db, 1)} dB"
