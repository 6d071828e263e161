"""Numbers as track files take them: to the last bit, without an exponent."""

from collections.abc import Iterable
from decimal import Decimal

from farglide.track.reports import Fix


def number_text(x: float) -> str:
    """Return a number in the shortest digits that read back as it.

    >>> number_text(-46.5), number_text(1e-7), number_text(12)
    ('-46.5', '0.0000001', '12')
    """
    text = repr(x)
    return f"{Decimal(text):f}" if "e" in text else text


def longitude_text(lon_deg: float) -> str:
    """Return a longitude from -180 to below 180, as GPX has them."""
    return number_text(-180.0 if lon_deg == 180.0 else lon_deg)


def by_feed(fixes: Iterable[Fix]) -> dict[str, list[Fix]]:
    """Return the fixes of each feed in their order, feeds in that of their first fix."""
    found: dict[str, list[Fix]] = {}
    for fix in fixes:
        found.setdefault(fix.feed, []).append(fix)
    return found


def said_beside(fix: Fix, names: Iterable[str]) -> list[tuple[str, str]]:
    """Return names and texts of what a fix says, of those names; no kind of a height unsaid."""
    unsaid = ("height_kind",) if fix.height_m is None else ()
    told = ((name, getattr(fix, name)) for name in names if name not in unsaid)
    return [
        (name, x if isinstance(x, str) else number_text(x)) for name, x in told if x is not None
    ]
