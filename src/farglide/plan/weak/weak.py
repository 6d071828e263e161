"""Weak: all that a plan tells of links that are not what they should be."""

from farglide.outlook.links import LinksOutlook
from farglide.outlook.weaker import WeakOutlook
from farglide.plan.planned import Planned
from farglide.plan.weak.blind import blind_release
from farglide.plan.weak.causes import expected_pictures
from farglide.plan.weak.weaker import weaker_links


def weak_outlook(planned: Planned, found: LinksOutlook) -> WeakOutlook:
    """Return what a plan tells of weaker links, of causes, and of a release sent unseen."""
    return WeakOutlook(
        weaker=weaker_links(planned, found),
        blind=blind_release(planned, found),
        expected=expected_pictures(planned.case.drawn.sortie, found, planned.after_launch_s),
    )
