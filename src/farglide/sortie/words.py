"""Words for numbers, shared by the sentences of the outlook and by all that shows it."""

from collections.abc import Collection, Sequence
from math import floor, isfinite
from typing import Final

from farglide.earth.clock import clock_text
from farglide.errors import THIN_SPACE, InputError
from farglide.units import CELSIUS_ZERO_K

COMPASS: Final = (
    "north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west",
)  # fmt: skip
_CHANCES: Final = {
    0.01: "under 1 in 50",
    0.02: "1 in 50",
    1.0 / 30.0: "1 in 30",
    0.05: "1 in 20",
    **{n / 10.0: f"{n} in 10" for n in range(1, 10)},
    0.95: "19 in 20",
    0.99: "over 49 in 50",
}
_BOUNDS: Final = (
    (0.02, "1 in 50"), (1.0 / 30.0, "1 in 30"), (0.05, "1 in 20"),
    *((n / 10.0, f"{n} in 10") for n in range(1, 10)), (0.95, "19 in 20"), (0.98, "49 in 50"),
)  # fmt: skip
_HAIR: Final = 1e-9
_DAY_S: Final = 86_400.0
_PERMISSIONS: Final = {
    "airspace": "balloon in the airspace",
    "aircraft": "glider after the release",
    "command_radio": "command radio",
    "picture_radio": "picture radio",
    "land": "land",
}
_GASES: Final = {
    "hydrogen": "Hydrogen burns: fill outdoors, without sparks, with the filler earthed.",
    "helium": "Helium displaces air: never fill in a closed room.",
}


def permission_words(key: str) -> str:
    """Return what a permission is for; words that are no key come back as they are.

    >>> permission_words("aircraft"), permission_words("harbour")
    ('glider after the release', 'harbour')
    """
    return _PERMISSIONS.get(key, key)


def gas_caution(gas: str) -> str:
    """Return what a lifting gas asks of who fills. Source: common practice, no source."""
    return _GASES[gas]


def winds_end_words(amsl_m: float) -> str:
    """Return up to which height winds are known, and what stands for them above.

    >>> winds_end_words(34_000.0)
    'No winds are known above 34 km: the last are carried on.'
    """
    return f"No winds are known above {km_words(amsl_m)}: the last are carried on."


def at_least_words(ratio: float) -> str:
    """Return what is proven of a chance: the last words of the scale that are not above it.

    Empty below 1 in 50. Valid: 0 to 1.

    >>> at_least_words(0.656), at_least_words(0.01)
    ('6 in 10', '')
    """
    _check_share(ratio)
    return next((words for at, words in reversed(_BOUNDS) if at <= ratio + _HAIR), "")


def at_most_words(ratio: float) -> str:
    """Return what a chance does not pass: the first words of the scale that are not below it.

    Valid: 0 to 1.

    >>> at_most_words(0.139), at_most_words(0.0004)
    ('2 in 10', 'under 1 in 50')
    """
    _check_share(ratio)
    if ratio < _BOUNDS[0][0]:
        return f"under {_BOUNDS[0][1]}"
    return next((words for at, words in _BOUNDS if at >= ratio - _HAIR), "10 in 10")


def _check_share(ratio: float) -> None:
    if not 0.0 <= ratio <= 1.0:
        raise InputError("ratio", ratio, "0 to 1", "Give a chance as a share, not in percent.")


def chance_words(ratio: float, bounds: Collection[float] = ()) -> str:
    """Return chance as "n in m"; the ends stay open, since a few hundred draws cannot say never.

    `bounds`: shares that class a chance; the words stay on its own side of each of them, where
    there are any. Valid: 0 to 1.

    >>> [chance_words(p) for p in (0.02, 0.03, 0.04)]
    ['1 in 50', '1 in 30', '1 in 20']
    >>> [chance_words(p) for p in (0.0, 0.05, 0.3, 0.5, 0.93, 0.95, 1.0)]
    ['under 1 in 50', '1 in 20', '3 in 10', '5 in 10', '9 in 10', '19 in 20', 'over 49 in 50']
    >>> chance_words(0.896), chance_words(0.896, [0.9]), chance_words(0.9, [0.9])
    ('9 in 10', '8 in 10', '9 in 10')
    """
    _check_share(ratio)
    told = _nearest(ratio)
    alike = [one for one in _CHANCES if all((one >= edge) == (ratio >= edge) for edge in bounds)]
    if alike and told not in alike:
        told = min(alike, key=lambda one: abs(one - ratio))
    return _CHANCES[told]


def shares_words(ratios: Sequence[float]) -> list[str]:
    """Return chances of stories that exclude each other, as `chance_words`, adding up as they do.

    What is told in tenths is rounded so that the tenths add up to the tenths of their sum, by the
    largest remainders; none goes further than to the next tenth. Rarer ones keep their own words.
    Valid: 0 to 1 each.

    >>> shares_words([0.38, 0.36, 0.16, 0.10])  # each by itself: 4, 4, 2 and 1 in 10
    ['4 in 10', '4 in 10', '1 in 10', '1 in 10']
    >>> shares_words([0.46, 0.44, 0.05, 0.05]), shares_words([1.0]), shares_words([])
    (['5 in 10', '4 in 10', '1 in 20', '1 in 20'], ['over 49 in 50'], [])
    """
    words = [chance_words(one) for one in ratios]
    tenths = [k for k, one in enumerate(words) if one.endswith(" in 10")]
    whole = {k: min(max(floor(ratios[k] * 10.0 + _HAIR), 1), 9) for k in tenths}
    n_left = round(10.0 * sum(ratios[k] for k in tenths)) - sum(whole.values())
    remainder = {k: round(ratios[k] * 10.0 - whole[k], 9) for k in tenths}
    may_grow = [k for k in tenths if remainder[k] > _HAIR and whole[k] < 9]
    for k in sorted(may_grow, key=lambda k: (-remainder[k], -ratios[k]))[: max(n_left, 0)]:
        whole[k] += 1
    return [_CHANCES[whole[k] / 10.0] if k in whole else one for k, one in enumerate(words)]


def _nearest(ratio: float) -> float:
    """Return the chance there are words for that is told of a share, nothing else considered."""
    for edge, told in ((0.985, 0.99), (0.945, 0.95)):
        if ratio >= edge:
            return told
    for edge, told in ((0.02, 0.01), (0.025, 0.02), (0.04, 1.0 / 30.0), (0.055, 0.05)):
        if ratio < edge:
            return told
    return min(9, max(1, floor(ratio * 10.0 + 0.5))) / 10.0


def number_text(value: float, n_decimals: int = 0) -> str:
    """Return a number with thin spaces between thousands and a true minus sign.

    >>> number_text(1600.4) == "1" + THIN_SPACE + "600"
    True
    >>> number_text(-0.04, 1), number_text(float("nan"))
    ('0.0', '–')
    """
    if not isfinite(value):
        return "–"
    rounded = round(value, n_decimals) + 0.0
    return f"{rounded:,.{n_decimals}f}".replace(",", THIN_SPACE).replace("-", "−")


def km_text(length_m: float, n_decimals: int = 1) -> str:
    """Return a length or height in kilometres without the unit.

    >>> km_text(26_447.0), km_text(26_447.0, 0)
    ('26.4', '26')
    """
    return number_text(length_m / 1000.0, n_decimals)


def moment_words(after_launch_s: float, launch_t_s: float, zone: str) -> str:
    """Return a moment as clock time of a zone; "never" for one that does not come."""
    if not isfinite(after_launch_s):
        return "never"
    return clock_text(launch_t_s + after_launch_s, zone)


def km_words(amsl_m: float) -> str:
    """Return a height in whole kilometres.

    >>> km_words(25_600.0)
    '26 km'
    """
    return f"{km_text(amsl_m, 0)} km"


def height_words(amsl_m: float) -> str:
    """Return a stated height in kilometres, as exactly as it is stated.

    >>> height_words(20_000.0), height_words(29_500.0), height_words(6096.0)
    ('20 km', '29.5 km', '6.1 km')
    """
    whole = abs(amsl_m / 1000.0 - round(amsl_m / 1000.0)) < 0.05
    return f"{km_text(amsl_m, 0 if whole else 1)} km"


def celsius_text(temperature_k: float) -> str:
    """Return a temperature in whole degrees Celsius.

    >>> celsius_text(358.15), celsius_text(218.25), celsius_text(273.0)
    ('85 °C', '−55 °C', '0 °C')
    """
    return f"{number_text(temperature_k - CELSIUS_ZERO_K)} °C"


def duration_words(duration_s: float) -> str:
    """Return a duration: seconds up to two minutes, then minutes, hours, and from two days on days.

    >>> [duration_words(s) for s in (0.0, 40.0, 120.0, 2040.0, 7800.0, 3600.0)]
    ['none', '40 s', '2 min', '34 min', '2 h 10 min', '1 h']
    >>> duration_words(172_700.0), duration_words(172_800.0), duration_words(17_351_821.0)
    ('47 h 58 min', '2 days', '201 days')
    """
    if not isfinite(duration_s) or duration_s < 0.0:
        raise InputError("duration_s", duration_s, "0 or more, finite")
    if duration_s < 0.5:
        return "none"
    if round(duration_s) < 120:
        return f"{round(duration_s)} s"
    if duration_s >= 2.0 * _DAY_S:
        return f"{number_text(duration_s / _DAY_S)} days"
    n_hours, n_minutes = divmod(round(duration_s / 60.0), 60)
    parts = (f"{n_hours} h" if n_hours else "", f"{n_minutes} min" if n_minutes else "")
    return " ".join(filter(None, parts))


def compass_words(bearing_deg: float) -> str:
    """Return the nearest of eight compass words.

    >>> compass_words(130.0), compass_words(-20.0), compass_words(359.0)
    ('south-east', 'north', 'north')
    """
    if not isfinite(bearing_deg):
        raise InputError("bearing_deg", bearing_deg, "a finite number of degrees")
    return COMPASS[floor(bearing_deg / 45.0 + 0.5) % 8]


def latlon_words(lat_deg: float, lon_deg: float) -> str:
    """Return a place to about a kilometre, as one says it.

    >>> latlon_words(-46.3064, 107.7086)
    '46.31° S 107.71° E'
    """
    north, east = "S" if lat_deg < 0.0 else "N", "W" if lon_deg < 0.0 else "E"
    return f"{abs(lat_deg):.2f}° {north} {abs(lon_deg):.2f}° {east}"
