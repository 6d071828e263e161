"""Sky in words: how high the ground stands round each stand, and where the picture is lost."""

from collections.abc import Sequence
from itertools import starmap
from typing import Final

from farglide.outlook.links import HIDDEN_DEG, LostPicture, StandSky
from farglide.outlook.outlook import Outlook
from farglide.present.lines import WIDTH, table_lines
from farglide.present.part import Column, Part, Table
from farglide.present.say.text import bearing_text
from farglide.sortie.words import number_text

_MOST: Final = 3


def sky_lines(skies: Sequence[StandSky]) -> list[str]:
    """Return the sky of each stand, one line each under a head."""
    if not skies:
        return []
    columns = (
        Column("stand", -20), Column("highest", 8), Column("at", 7),
        Column(f"   above {HIDDEN_DEG:g}°", -WIDTH),
    )  # fmt: skip
    rows = []
    for one in skies:
        up, at = degree_text(one.highest_deg), bearing_text(one.highest_azimuth_deg)
        rows.append((one.stand, up, at, f"   {hidden_text(one)}"))
    head = "How high the ground stands round each stand, beyond 300 m, seen from its antenna"
    return [head, *table_lines(Table(columns=columns, rows=rows))]


def degree_text(up_deg: float) -> str:
    """Return an angle over the level, to the tenth below ten.

    >>> degree_text(3.14), degree_text(-0.04), degree_text(12.7)
    ('3.1°', '0.0°', '13°')
    """
    return f"{number_text(up_deg, 0 if abs(up_deg) >= 9.95 else 1)}°"


def hidden_text(sky: StandSky) -> str:
    """Return the azimuths with ground in them, clockwise, or those without where they are fewer."""
    if not sky.hidden:
        return "nowhere"
    if sky.hidden == ((0.0, 360.0),):
        return "all round"
    if sum(starmap(_width_deg, sky.hidden)) <= 180.0:
        return _widest_words(sky.hidden)
    after = (*sky.hidden[1:], sky.hidden[0])
    gaps = tuple((one[1], other[0]) for one, other in zip(sky.hidden, after, strict=True))
    return f"all round but {_widest_words(gaps)}"


def _width_deg(from_deg: float, to_deg: float) -> float:
    return (to_deg - from_deg) % 360.0


def _widest_words(sectors: Sequence[tuple[float, float]]) -> str:
    widest = sorted(sectors, key=lambda ends: _width_deg(*ends), reverse=True)[:_MOST]
    words = ", ".join(f"{a:.0f}–{b:.0f}°" for a, b in sorted(widest))
    more = len(sectors) - len(widest)
    return words + (f" and {more} more" if more else "")


def lost_part(outlook: Outlook) -> Part:
    """Return below which height over each field the picture is lost, for paper."""
    title = "Where the picture is lost"
    told = [field for field in outlook.fields if field.lost_picture_agl_m]
    if not told:
        return Part(title=title)
    stands = [one.stand for one in told[0].lost_picture_agl_m]
    rows = [(field.name, *map(_below_text, field.lost_picture_agl_m)) for field in told]
    skies = {one.stand: degree_text(one.highest_deg) for one in outlook.skies}
    if skies:
        rows.append(("highest ground round it", *(skies.get(name, "–") for name in stands)))
    ground = "over your ground" if outlook.ground else "flat ground assumed"
    table = Table(columns=[*map(Column, ("field", *stands))], rows=rows)
    return Part(title=title, note=f"below m over the field, by stand; {ground}", table=table)


def _below_text(lost: LostPicture) -> str:
    return "everywhere" if lost.agl_m is None else number_text(lost.agl_m)
