"""Digits: what stands in the picture when no tracker is heard, and what a crew makes of it."""

from typing import Final

from farglide.live.rehearse.sentences import Told
from farglide.track.reports import Fix
from farglide.track.typed.entries import Overlay
from farglide.track.typed.known import AskedBack, Known, LastPlace
from farglide.track.typed.typed import typed

EVERY_S: Final = 60.0
"""So often somebody reads them off."""
TYPED: Final = "typed"


def digits_of(told: Told) -> str:
    """Return a place as a picture with the commas of its maker shows it: no sign, no unit.

    >>> digits_of(Told(t_s=0.0, lat_deg=-46.5, lon_deg=108.2045, amsl_m=12340.4,
    ...                speed_mps=0.0, track_deg=0.0))
    '46,5000 108,2045 12340'
    """
    return f"{abs(told.lat_deg):.4f} {abs(told.lon_deg):.4f} {told.amsl_m:.0f}".replace(".", ",")


def fix_read(line: str, t_s: float, last: Fix | None) -> Fix | None:
    """Return what a crew takes digits for that says yes to the first question it is asked.

    None where they say no place. `t_s`: when they were read, UTC. Raises AnswerError, InputError.
    """
    found = typed(line, Known(t_s=t_s, last=_last(last)))
    if isinstance(found, AskedBack):
        if not found.alternatives:
            return None
        found = found.alternatives[0]
    entry = found.entry
    if not isinstance(entry, Overlay) or entry.lat_deg is None or entry.lon_deg is None:
        return None
    return Fix(
        feed=TYPED,
        lat_deg=entry.lat_deg,
        lon_deg=entry.lon_deg,
        t_s=t_s,
        height_m=entry.amsl_m,
    )


def _last(fix: Fix | None) -> LastPlace | None:
    if fix is None or fix.t_s is None or fix.height_m is None:
        return None
    return LastPlace(lat_deg=fix.lat_deg, lon_deg=fix.lon_deg, amsl_m=fix.height_m, t_s=fix.t_s)
