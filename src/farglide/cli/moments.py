"""Moments: a time of the day as it is typed on a command line."""

import re
from typing import Final

from farglide.earth.clock import local_datetime
from farglide.errors import InputError
from farglide.sortie.spec import Launch
from farglide.track.typed.numbers import number_of

_DAY_S: Final = 86_400.0
_CLOCK: Final = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?", re.ASCII)
_MINUTES: Final = re.compile(r"[tT]\s*\+\s*(\d{1,4}(?:[.,]\d{1,3})?)", re.ASCII)
_HOW: Final = "HH:MM on the clock of the launch, or T+MINUTES"


def moment_of(option: str, text: str, launch: Launch) -> float:
    """Return UTC seconds of a time on the day of a launch, or of the next day before its clock.

    Raises InputError, which names the option.
    """
    if (minutes := _MINUTES.fullmatch(text.strip())) is not None:
        return launch.t_s + 60.0 * number_of(minutes[1])
    match = _CLOCK.fullmatch(text.strip())
    if match is None:
        raise InputError(option, repr(text), _HOW)
    begun = local_datetime(launch.t_s, launch.zone)
    hours, minute, seconds = (int(one or 0) for one in match.groups())
    then = begun.replace(hour=hours, minute=minute, second=seconds, microsecond=0).timestamp()
    return then if then >= launch.t_s - 0.25 * _DAY_S else then + _DAY_S
