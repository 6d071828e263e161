"""Coverage of an area in words."""

import math
from typing import Final

from farglide.outlook.coverage import STEPS_DB, Coverage, Ray
from farglide.present.lines import WIDTH, blocks, table_lines, wrapped
from farglide.present.part import Column, Table
from farglide.present.say.links.hearing import ASSUMED
from farglide.present.say.text import compass_words
from farglide.sortie.words import km_text, number_text

NOT_KNOWN: Final = "no answer: ground unknown, or higher than the glider"
_ENDS: Final = {
    "range": "the distance",
    "ground": "the ground",
    "antenna": "the pattern of the antennas",
    "unknown": "the ground beyond is not in the files",
}


def step_words(step: int) -> str:
    """Return what a step of margins means.

    >>> [step_words(step) for step in range(4)]
    ['lost', '0 to 3 dB margin', '3 to 10 dB margin', '10 dB margin or more']
    """
    if step == 0:
        return "lost"
    low = number_text(STEPS_DB[step - 1])
    if step == len(STEPS_DB):
        return f"{low} dB margin or more"
    return f"{low} to {number_text(STEPS_DB[step])} dB margin"


def level_words(amsl_m: float | None, agl_m: float | None) -> str:
    """Return how high the glider is: above sea level, or else above the ground.

    >>> level_words(26e3, None), level_words(None, 300.0)
    ('26.0 km above sea level', '300 m above the ground')
    """
    if amsl_m is not None:
        return f"{km_text(amsl_m)} km above sea level"
    return f"{number_text(agl_m or 0.0)} m above the ground"


def title(cover: Coverage) -> str:
    """Return what the area shows: link, stand, height, and what was taken off."""
    less_db = cover.asked.less_db
    less = f", {number_text(less_db, 1)} dB taken off" if less_db else ""
    what, level = f"{cover.link.name} at {cover.stand.name}", cover.asked.level
    return f"{what}, glider {level_words(level.amsl_m, level.agl_m)}{less}"


def ground_words(cover: Coverage) -> str:
    """Return where the ground comes from."""
    if cover.ground:
        beyond = "; beyond it the way is higher than any ground" if cover.is_high else ""
        return f"Ground: {cover.ground}{beyond}."
    height = number_text(cover.flat_amsl_m)
    return f"Flat ground assumed, {height} m above sea level: hills do not count."


def coverage_lines(cover: Coverage) -> list[str]:
    """Return how far the link holds in eight directions and what ends it."""
    rows = [(compass_words(ray.bearing_deg), _stretch(ray), _end(ray)) for ray in cover.rays]
    columns = (Column("direction", -13), Column("holds", -18), Column("what ends it", -WIDTH))
    doubt = (
        "Where range or ground ends the link, it holds with 5 in 10. The doubt about its budget is "
        f"{number_text(cover.sd_db, 1)} dB either way, with a chance of 7 in 10, and is not taken "
        "off. To take it off, or the loss of a damaged or badly aimed antenna, use --less-db."
    )
    table = table_lines(Table(columns=columns, rows=rows))
    known = wrapped(f"{ground_words(cover)} {ASSUMED}", 0, 0)
    hole = wrapped(hole_words(cover), 0, 0)
    return blocks([f"{cover.name}: {title(cover)}"], table, hole, wrapped(doubt, 0, 0), known)


def hole_words(cover: Coverage) -> str:
    """Return why the link does not hold round the stand, where the antennas' pattern is why."""
    holes_m = [ray.from_m for ray in cover.rays if ray.begin == "antenna"]
    if not holes_m:
        return ""
    over_m, level = cover.mast.amsl_m, cover.asked.level
    height_m = (level.agl_m or 0.0) if level.amsl_m is None else level.amsl_m - over_m
    up_deg = math.degrees(math.atan2(height_m, max(holes_m)))
    to_km = km_text(max(holes_m))
    return (
        f"The hole in the middle: up to {to_km} km from the stand the glider stands more than "
        f"{up_deg:.0f}° up, where the pattern of the antennas leaves too little. Hear it from a "
        "stand farther aside."
    )


def _stretch(ray: Ray) -> str:
    if math.isnan(ray.to_m):
        return "nowhere"
    if ray.from_m > 0.0:
        return f"{km_text(ray.from_m)} to {km_text(ray.to_m)} km"
    return f"to {km_text(ray.to_m)} km"


def _end(ray: Ray) -> str:
    if ray.end == "edge":
        return f"edge of the area, with {number_text(math.floor(ray.left_db))} dB margin there"
    again = f"; it holds again in places, up to {km_text(ray.again_m)} km" if ray.again_m else ""
    return f"{_ENDS[ray.end]}{again}"
