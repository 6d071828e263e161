"""Heard: what a link has left over where it is listened to, and what picture that gives."""

from farglide.outlook.askedcar import Heard
from farglide.radio.picture import bounded_margin_db, grade_of
from farglide.rig.links import gear_of
from farglide.sim.hear.holds import held_ratio
from farglide.sortie.spec import LinkSpec


def heard_of(link: LinkSpec, margin_db: float) -> Heard:
    """Return how a link is heard by its margin: its chance, and the grade of its picture."""
    sd_db, found_db = gear_of(link).sd_db, bounded_margin_db(margin_db)
    is_picture = link.purpose == "picture"
    return Heard(
        purpose=link.purpose,
        margin_db=found_db,
        sd_db=sd_db,
        holds_ratio=float(held_ratio(found_db, sd_db)),
        grade=grade_of(found_db, link.is_digital) if is_picture else None,
    )
