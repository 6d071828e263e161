"""Times as track files write them."""

from datetime import UTC, datetime
from typing import Final

_LATEST_S: Final = 4_102_444_800.0  # 2100-01-01, as of the clock of the rest


def time_text(t_s: float | None) -> str:
    """Return UTC seconds since 1970 as RFC 3339 to the microsecond; nothing for no or a wild time.

    >>> time_text(1800697200.25), time_text(1800697200.0), time_text(1e20)
    ('2027-01-23T09:40:00.250000Z', '2027-01-23T09:40:00Z', '')
    """
    if t_s is None or not 0.0 <= t_s < _LATEST_S:
        return ""
    return datetime.fromtimestamp(t_s, UTC).isoformat().replace("+00:00", "Z")


def seconds_of(text: str) -> float | None:
    """Return UTC seconds since 1970 of an ISO 8601 date and time; None where it is none.

    One without a zone is taken as UTC, which GPX prescribes.
    Valid: 1970 to 2100.
    Source: GPX 1.1 schema, element time ("Coordinated Universal Time"; from memory).

    >>> seconds_of("2027-01-23T09:40:00Z") == seconds_of("2027-01-23T16:40:00+07:00")
    True
    >>> seconds_of("23.01.2027")
    """
    try:
        when = datetime.fromisoformat(text.strip())
        t_s = (when if when.tzinfo else when.replace(tzinfo=UTC)).timestamp()
    except (ValueError, OverflowError):
        return None
    return t_s if 0.0 <= t_s < _LATEST_S else None
