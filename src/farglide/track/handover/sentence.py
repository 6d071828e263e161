"""Sentence: what a car knows of the flight in twelve words, and back in the other car.

Ten words carry 50 bits, two check them. What they leave out is taken from what both cars know: the
launch of the flight file, and about where and when it is.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

from farglide.earth.clock import clock_text
from farglide.earth.state import check_lat_lon
from farglide.errors import AnswerError, InputError
from farglide.track.handover.check import N_SAID, N_WORDS, SIZE, is_sound, with_check, wrongs_of
from farglide.track.handover.words import ALPHABET, numbers_of

PLACE_M: Final = 100.0
HEIGHT_M: Final = 100.0
TICK_S: Final = 20.0
"""How finely place, height and time are told; half of it is lost at most."""
AHEAD_S: Final = 60.0
"""A moment told is at most so far to come: a sentence is of up to 20 s on, and clocks differ."""
SURE_M: Final = 90_000.0
"""A place read so far from where it was expected may be that of 204.8 km on: nearer the edge, at
102.4 km, either could be meant. A choice."""
PLACE_SD_M: Final = PLACE_M / math.sqrt(12.0)
"""Of a place told so, each component: an even error over a cell."""
PHASES: Final = ("climbing", "gliding", "falling", "lost", "down", "on the hand")
WINDS: Final = ("as told", "off by more than told", "not known")
LEFT_S: Final = (
    None, 0.0, 10.0, 20.0, 30.0, 60.0, 90.0, 120.0, 180.0, 240.0, 300.0, 600.0, 1200.0, 2400.0,
)  # fmt: skip
"""Seconds left until the release is due, or the field is out of reach: rounded down to these."""
MOST_FIELDS: Final = 7
_N_PLACE: Final = 2048
_N_HEIGHT: Final = 512
_N_TIME: Final = 256
_LOWEST_M: Final = -500.0
_DEGREE_M: Final = 111_195.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HandedOver:
    """What a sentence carries. `at_t_s`: when that was so, UTC; `left_s`: from then on.

    `field`: by its number in the flight file, from 1; 0 for none. `zone`: of the clock by which it
    is told, no part of the words.
    """

    lat_deg: float
    lon_deg: float
    amsl_m: float
    at_t_s: float
    phase: str
    field: int = 0
    left_s: float | None = None
    wind: str = "not known"
    zone: str = "UTC"

    def __post_init__(self) -> None:
        for name, value, known in (("phase", self.phase, PHASES), ("wind", self.wind, WINDS)):
            if value not in known:
                raise InputError(name, repr(value), ", ".join(known))
        check_lat_lon(self.lat_deg, self.lon_deg)
        for name, seconds in (("at_t_s", self.at_t_s), ("left_s", self.left_s or 0.0)):
            if not math.isfinite(seconds):
                raise InputError(name, f"{seconds} s", "a number of seconds")
        if not 0 <= self.field <= MOST_FIELDS:
            raise InputError("field", self.field, f"1 to {MOST_FIELDS}, or 0 for none")
        highest_m = _LOWEST_M + (_N_HEIGHT - 1) * HEIGHT_M
        if not _LOWEST_M <= self.amsl_m <= highest_m:
            raise InputError("height", f"{self.amsl_m:.0f} m", f"-500 to {highest_m:.0f} m")


class Common(NamedTuple):
    """What both cars know: the planned launch, and about where and when it is now.

    `ahead_s`: so far to come a moment told may be; `zone`: of the clock that is told.
    """

    launch_lat_deg: float
    launch_lon_deg: float
    about_lat_deg: float
    about_lon_deg: float
    now_t_s: float
    ahead_s: float = AHEAD_S
    zone: str = "UTC"


class _Part(NamedTuple):
    value: int
    size: int


def spoken(told: HandedOver, common: Common) -> str:
    """Return the sentence of twelve words that tells a state, to be read aloud word by word.

    A place is told modulo 204.8 km, a time modulo 85 min 20 s.
    """
    north, east = _cells(told.lat_deg, told.lon_deg, common)
    left = 0 if told.left_s is None else max(
        k for k, least in enumerate(LEFT_S) if least is not None and max(told.left_s, 0.0) >= least
    )  # fmt: skip
    number = _packed((
        _Part(north % _N_PLACE, _N_PLACE), _Part(east % _N_PLACE, _N_PLACE),
        _Part(round((told.amsl_m - _LOWEST_M) / HEIGHT_M), _N_HEIGHT),
        _Part(round(told.at_t_s / TICK_S) % _N_TIME, _N_TIME),
        _Part(PHASES.index(told.phase), len(PHASES)), _Part(told.field, MOST_FIELDS + 1),
        _Part(left, len(LEFT_S)), _Part(WINDS.index(told.wind), len(WINDS)),
    ))  # fmt: skip
    said = [number // SIZE**k % SIZE for k in range(N_SAID)]
    return " ".join(ALPHABET[k] for k in with_check(said))


def heard(text: str, common: Common) -> HandedOver:
    """Return what a sentence says, as it is typed; the place and time nearest to the common ones.

    Raises AnswerError where it does not check, and says which word looks wrong, and where its time
    would still be to come: it is 42 minutes old or more, or the clocks of the cars differ.
    """
    words = numbers_of(text)
    if len(words) != N_WORDS:
        raise AnswerError(f"A hand-over has {N_WORDS} words, these are {len(words)}: ask again.")
    if not is_sound(words):
        raise AnswerError(_wrong_words(words))
    number = sum(word * SIZE**k for k, word in enumerate(words[:N_SAID]))
    sizes = (
        _N_PLACE, _N_PLACE, _N_HEIGHT, _N_TIME, len(PHASES), MOST_FIELDS + 1, len(LEFT_S),
        len(WINDS),
    )  # fmt: skip
    parts, left = list[int](), number
    for size in sizes:
        left, part = divmod(left, size)
        parts.append(part)
    if left:
        raise AnswerError("These words check, but say nothing: were they made by another version?")
    north, east, height, tick, phase, field, seconds, wind = parts
    at_t_s = TICK_S * _nearest(tick, round(common.now_t_s / TICK_S), _N_TIME)
    if at_t_s > common.now_t_s + common.ahead_s:
        ahead_min, at = (at_t_s - common.now_t_s) / 60.0, clock_text(at_t_s, common.zone)
        raise AnswerError(
            f"That would be of {at}, {ahead_min:.0f} min from now: it was said more than 40 min "
            f"ago, or the clocks of the cars differ. Ask for a new one, or type when it was said: "
            f"over {clock_text(common.now_t_s, common.zone)} and the words."
        )
    near = _cells(common.about_lat_deg, common.about_lon_deg, common)
    lat_deg, lon_deg = _degrees(
        _nearest(north, near[0], _N_PLACE), _nearest(east, near[1], _N_PLACE), common
    )
    return HandedOver(
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        amsl_m=_LOWEST_M + HEIGHT_M * height,
        at_t_s=at_t_s,
        phase=PHASES[phase],
        field=field,
        left_s=LEFT_S[seconds],
        wind=WINDS[wind],
        zone=common.zone,
    )


def elsewhere(told: HandedOver, common: Common) -> list[HandedOver]:
    """Return the same sentence read of the places a step of 204.8 km north, east, south or west."""
    north, east = _cells(told.lat_deg, told.lon_deg, common)
    steps = ((_N_PLACE, 0), (0, _N_PLACE), (-_N_PLACE, 0), (0, -_N_PLACE))
    places = (_degrees(north + up, east + right, common) for up, right in steps)
    return [replace(told, lat_deg=lat_deg, lon_deg=lon_deg) for lat_deg, lon_deg in places]


def _packed(parts: Sequence[_Part]) -> int:
    number = 0
    for value, size in reversed(parts):
        number = number * size + value
    return number


def _cells(lat_deg: float, lon_deg: float, common: Common) -> tuple[int, int]:
    """Return how many cells north and east of the launch a place is."""
    east_deg = (lon_deg - common.launch_lon_deg + 180.0) % 360.0 - 180.0
    parallel_m = _DEGREE_M * math.cos(math.radians(common.launch_lat_deg))
    north = round((lat_deg - common.launch_lat_deg) * _DEGREE_M / PLACE_M)
    return north, round(east_deg * parallel_m / PLACE_M)


def _degrees(north: int, east: int, common: Common) -> tuple[float, float]:
    parallel_m = _DEGREE_M * math.cos(math.radians(common.launch_lat_deg))
    lat_deg = common.launch_lat_deg + north * PLACE_M / _DEGREE_M
    lon_deg = common.launch_lon_deg + east * PLACE_M / parallel_m
    return max(min(lat_deg, 90.0), -90.0), (lon_deg + 180.0) % 360.0 - 180.0


def _nearest(part: int, near: int, size: int) -> int:
    """Return the number nearest to another one that leaves this part behind.

    >>> _nearest(5, 2040, 2048), _nearest(2040, 3, 2048)
    (2053, -8)
    """
    return near + (part - near + size // 2) % size - size // 2


def _wrong_words(words: Sequence[int]) -> str:
    found = wrongs_of(words)
    if not found:
        return "These words do not check, in more than one place: have all of them said again."
    told = [
        f"word {one.place + 1}, {ALPHABET[words[one.place]]} (was it {ALPHABET[one.word]}?)"
        if one.swapped_with is None
        else f"words {one.place + 1} and {one.swapped_with + 1}, perhaps swapped"
        for one in found
    ]
    return f"These words do not check. Looks wrong: {'; or '.join(told)}. Have it said again."
