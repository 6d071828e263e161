"""Where the picture is lost over each field, from each stand."""

from farglide.outlook.links import LostPicture
from farglide.outlook.outlook import Outlook
from farglide.present.part import Column, Part, Table
from farglide.present.say.links.sky import degree_text
from farglide.present.say.text import number_text


def lost_part(outlook: Outlook) -> Part:
    """Return below which height over each field the picture is lost, for paper."""
    title = "Where the picture is lost"
    told = [field for field in outlook.fields if field.lost_picture_agl_m]
    if not told:
        return Part(title=title)
    stands = [one.stand for one in told[0].lost_picture_agl_m]
    rows = [(field.name, *map(_lost_text, field.lost_picture_agl_m)) for field in told]
    skies = {one.stand: degree_text(one.highest_deg) for one in outlook.skies}
    if skies:
        rows.append(("highest ground round it", *(skies.get(name, "–") for name in stands)))
    ground = "over your ground" if outlook.ground else "flat ground assumed"
    return Part(
        title=title,
        note=f"below m over the field, by stand; {ground}",
        table=Table(columns=tuple(map(Column, ("field", *stands))), rows=tuple(rows)),
    )


def _lost_text(lost: LostPicture) -> str:
    return "everywhere" if lost.agl_m is None else number_text(lost.agl_m)
