"""Antennas in words: for each link one sentence of what its antennas make of it."""

from collections.abc import Sequence
from typing import Final

from farglide.outlook.antennas import FAULT_DB, LOW_DEG, RAIN_AT_DEG, EndOutlook, LinkAntennas
from farglide.present.lines import fact_lines
from farglide.sortie.words import number_text

ONLY_GAINS: Final = "antennas: only gains are stated: the same in every direction, well aimed"
_SHOWN_DB: Final = 0.05


def antenna_lines(found: LinkAntennas) -> list[str]:
    """Return what the antennas make of a link, as indented lines."""
    told = [_end_words(end) for end in found.ends]
    told += _polarisation_words(found)
    if found.noise_db is not None:
        told.append(f"noise of the place ({found.spec.surroundings}): {_db(found.noise_db)}")
    if found.rain_db is not None:
        losses = f"{_db(found.rain_db)} at {RAIN_AT_DEG:.0f}° of elevation"
        depth = f"{found.spec.rain_depth_m / 1e3:.1f} km deep"
        told.append(f"rain of {found.spec.rain_mmph:g} mm/h, {depth}: {losses}")
    text = f"antennas: {'; '.join(told)}; doubt about the budget {_db(found.doubt_db)}"
    return fact_lines([text if told else ONLY_GAINS])


def ground_test_lines(found: LinkAntennas) -> list[str]:
    """Return what a ground test found against the budget, nothing without one."""
    test, offset_db = found.spec.tested, found.test_offset_db
    if test is None and not offset_db:
        return []
    text = "ground test: "
    if test is not None:
        behind = f" behind {test.attenuator_db:g} dB" if test.attenuator_db else ""
        expected = f"{_signed(test.margin_db - offset_db)} expected"
        found_words = f"{_signed(test.margin_db)} found"
        text = f"ground test at {test.distance_m:.0f} m{behind}: {expected}, {found_words}: "
    if found.is_fault:
        until = "all margins carry it" if offset_db < 0.0 else "no margin counts on it"
        off = f"{_signed(offset_db)} off is more than {FAULT_DB:g} dB"
        text += f"{off}: find the fault; until then {until}"
    else:
        text += f"all margins are shifted by {_signed(offset_db)}"
    return fact_lines([text])


def bounce_line(found: LinkAntennas) -> str:
    """Return how far the bounce off the ground swings a link low over the horizon."""
    takes, adds = (f"{number_text(one, 0)} dB" for one in found.bounce)
    swing = f"takes up to {takes} or adds up to {adds}"
    return f"  at {LOW_DEG:.0f}° over smooth ground or water the wave they reflect {swing}"


def antenna_section(links: Sequence[LinkAntennas]) -> list[str]:
    """Return the antennas of all links under a head; nothing where none states one."""
    rows: list[str] = []
    for found in links:
        told = [one for one in antenna_lines(found) if one != f"  {ONLY_GAINS}"]
        told += ground_test_lines(found)
        if told:
            rows += [f"  {found.spec.name}", *told]
    return ["What the antennas make of the links", *rows] if rows else []


def _end_words(end: EndOutlook) -> str:
    stated = end.spec
    side = "aboard" if stated.aboard else "on the ground"
    words = [f"{side} {end.name}, {number_text(end.gain_dbi, 1)} dBi"]
    if end.beam is not None:
        level, upright = (f"{one:.0f}" for one in end.beam)
        words.append(f"{level}° wide" if level == upright else f"{level} x {upright}° wide")
    if end.aim_loss_db is not None:
        how = f"aimed to {stated.aim_spread_deg:.0f}°: {_db(end.aim_loss_db)}"
        words.append(how if stated.aim_spread_deg else "well aimed")
    elif stated.has_pattern:
        lean = f", leaning {stated.swing_deg:.0f}°" if stated.swing_deg else ""
        words.append(f"pointing {stated.stands}{lean}: {_signed(end.level_db)} at the horizon")
        words.append(f"{_signed(end.steep_db)} straight {'below' if stated.aboard else 'above'}")
    if stated.damage_db or stated.damage_skew_deg:
        skew = f", bent by {stated.damage_skew_deg:.0f}°" if stated.damage_skew_deg else ""
        words.append(f"damage takes {_db(stated.damage_db)}{skew}")
    return ", ".join(words)


def _polarisation_words(found: LinkAntennas) -> list[str]:
    """Return what the polarisations of both ends lose, nothing where they are not stated."""
    lost, over, worst = found.polarisation, "", ""
    if lost is None:
        return []
    if lost.worst_db > lost.mean_db + _SHOWN_DB:
        over = " in the mean over all rolls" if found.any_roll else ""
        worst = f", {_db(lost.worst_db)} at worst"
    ways = f"{found.spec.sender_end.polarisation} to {found.spec.receiver_end.polarisation}"
    return [f"{ways}: {_db(lost.mean_db)}{over}{worst}"]


def _db(value_db: float) -> str:
    return f"{number_text(value_db, 1)} dB"


def _signed(value_db: float) -> str:
    plus = "+" if round(value_db, 1) > 0.0 else ""
    return f"{plus}{number_text(value_db, 1)} dB"
