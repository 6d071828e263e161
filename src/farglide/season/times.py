"""Times: at which moments a launch is compared: by daylight, as far as the winds are told."""

from collections.abc import Iterator
from typing import Final, NamedTuple

from farglide.earth.clock import local_datetime
from farglide.earth.sun import dusk_t_s, sun_position
from farglide.errors import InputError
from farglide.sortie.spec import Launch

_MOST: Final = 400
_HOUR_S: Final = 3600.0
_NEEDED_S: Final = 2.5 * _HOUR_S
"""A launch so near to dusk is not asked: climb and way home take longer."""


class Span(NamedTuple):
    """From when to when launches are compared, UTC, and how far apart."""

    first_s: float
    last_s: float
    every_s: float


def launch_times(span: Span, launch: Launch) -> tuple[float, ...]:
    """Return the launch times of a span, at even times of the local day, by daylight.

    Raises InputError where there are too many, or none by daylight.
    """
    n = int((span.last_s - span.first_s) // span.every_s) + 1
    if n > _MOST:
        remedy = "Ask a shorter span, or times farther apart."
        raise InputError("launch times", n, f"up to {_MOST}", remedy)
    found = tuple(one for one in _even(span, launch) if _is_light(one, launch))
    if not found:
        allowed = f"the sun up, and {_NEEDED_S / _HOUR_S:g} h of light left"
        raise InputError("launch times", "none by daylight", allowed, "Ask a longer span.")
    return found


def _even(span: Span, launch: Launch) -> Iterator[float]:
    """Yield even times as the clock of the place has them."""
    first = local_datetime(span.first_s, launch.zone)
    midnight_s = first.replace(hour=0, minute=0, second=0, microsecond=0).timestamp()
    steps = -((midnight_s - span.first_s) // span.every_s)
    t_s = midnight_s + steps * span.every_s
    while t_s <= span.last_s + 1.0:
        if t_s >= span.first_s - 1.0:
            yield t_s
        t_s += span.every_s


def _is_light(t_s: float, launch: Launch) -> bool:
    dusk_s = dusk_t_s(t_s, launch.lat_deg, launch.lon_deg)
    up = sun_position(t_s, launch.lat_deg, launch.lon_deg).elevation_deg > 0.0
    return up and (dusk_s is None or dusk_s - t_s >= _NEEDED_S)
