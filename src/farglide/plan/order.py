"""Order: the release as the crew carries it out, in words: at which heights, by when, or else."""

from collections.abc import Sequence
from typing import Final

from farglide.chances.window import release_takes_s
from farglide.outlook.fields import Band, FieldOutlook, FieldStep
from farglide.outlook.release import Ending, ReleaseOutlook
from farglide.sortie.spec import Sortie
from farglide.sortie.words import chance_words, height_words, km_text, km_words, moment_words

_ENDING: Final[dict[Ending, str]] = {
    "top": "the balloon gets no higher",
    "reach": "after that the way to the field is too long",
    "speeds": "after that the glider would pass a speed limit",
    "packs": "after that the packs end before it lands",
    "light": "after that it gets dark before it lands",
    "command": "after that the chance falls with the command link",
    "picture": "after that the chance falls with the picture link",
}
_LONG_S: Final = 120.0
_MINUTE_S: Final = 60.0
"""What takes less time is said as one time."""
_THIN_M: Final = 2000.0
"""A window by the clock no higher than this is said as one height."""
_ONE_M: Final = 300.0
"""A window by height no higher than this is said as one height."""
_NEXT_M: Final = 500.0
"""So far above the window what ends it is looked for: two heights of the chart."""
_N_HIGHER: Final = 2
PLAINLY: Final = 0.03
"""A chance that is better by less than this is not worth a word."""


def clock_words(sortie: Sortie, after_launch_s: float) -> str:
    """Return a moment of the flight as the clock of its zone shows it."""
    return moment_words(after_launch_s, sortie.launch.t_s, sortie.launch.zone)


def field_words(sortie: Sortie, release: ReleaseOutlook) -> str:
    """Return the field of a release: home, or its name."""
    return "home" if release.field == sortie.fields[0].name else release.field


def window_words(sortie: Sortie, release: ReleaseOutlook) -> str:
    """Return between which heights, or where none is seen between which times, to release."""
    start = clock_words(sortie, release.window.from_after_launch_s)
    end = clock_words(sortie, release.release_by_after_launch_s)
    if release.release_by_after_launch_s - release.window.from_after_launch_s < _MINUTE_S:
        end = start
    low_m, high_m = release.window.from_amsl_m, release.release_by_amsl_m
    if not release.by_height:
        between = f"between {start} and {end}" if start != end else f"at {start}"
        return f"release {between}, {_height_words(low_m, high_m)}"
    about = f"about {start} to {end}" if start != end else f"about {start}"
    if high_m - low_m <= _ONE_M:
        return f"release at {km_text(high_m)} km going up, {about}"
    return f"release between {km_text(low_m)} and {km_text(high_m)} km going up, {about}"


def _height_words(low_m: float, high_m: float) -> str:
    """Return the heights of the window up to the release-by moment; one number where it is thin."""
    if abs(high_m - low_m) <= _THIN_M:
        return f"near {km_words(0.5 * (low_m + high_m))}"
    return f"{low_m / 1000.0:.0f} to {km_words(high_m)} high"


def by_when(
    sortie: Sortie, release: ReleaseOutlook | None, fields: tuple[FieldOutlook, ...]
) -> str:
    """Return by when to release, why and what lets go instead; nothing without a release."""
    if release is None:
        return ""
    chosen = next(field for field in fields if field.name == release.field)
    return " ".join([*order_words(sortie, release), *limit_words(chosen, release)])


def order_words(sortie: Sortie, release: ReleaseOutlook) -> list[str]:
    """Return by when to release and why, or else, and a warning where there is one moment."""
    window, takes_s = release.window, release_takes_s(sortie.drop)
    end = _at_words(sortie, release, window.to_amsl_m, window.to_after_launch_s)
    by = _at_words(sortie, release, release.release_by_amsl_m, release.release_by_after_launch_s)
    found = [f"Release by {by}: {_ending(release)}."]
    if takes_s > _LONG_S:
        found = [
            f"Order the release by {by}: it may take {takes_s / 60.0:.0f} min, and after {end} "
            f"{_ending(release).removeprefix('after that ')}."
        ]
    if release.by_height:
        until = clock_words(sortie, release.until_after_launch_s)
        found.append(
            f"If a slow balloon is not there by {until}, or it climbs slower than 1 m/s, release "
            "at once."
        )
    else:
        found.append("Nobody can read the height up there: go by the clock.")
    if window.to_after_launch_s - window.from_after_launch_s <= takes_s + 1.0:
        found.append(
            f"The window is no longer than the {takes_s:.0f} s that a release may take: give the "
            "order at that one moment; the chance is for a release some time after it."
        )
    return found


def _at_words(sortie: Sortie, release: ReleaseOutlook, amsl_m: float, after_launch_s: float) -> str:
    at = clock_words(sortie, after_launch_s)
    return f"{km_text(amsl_m)} km (about {at})" if release.by_height else at


def _ending(release: ReleaseOutlook) -> str:
    if release.bound_by == "burst":
        return (
            f"after that {chance_words(release.burst_within_120_s_ratio)} burst within two minutes"
        )
    return _ENDING[release.bound_by]


def enough_words(sortie: Sortie, release: ReleaseOutlook) -> list[str]:
    """Return that the chance is less than the crew asks for, where it is."""
    if release.is_enough:
        return []
    wish = sortie.wish
    enough = chance_words(wish.enough_ratio)
    chance = chance_words(release.chance_ratio, wish.bounds)
    less = "just under" if enough == chance else "less than"
    name = field_words(sortie, release)
    said = f"{name[0].upper()}{name[1:]} has {less} the {enough} that you ask for"
    if wish.bring_to == "home" or len(sortie.fields) == 1:
        return [f"{said}."]
    high = release.window.to_amsl_m >= wish.wanted_amsl_m > 0.0
    where = f"released above {height_words(wish.wanted_amsl_m)}" if high else "at any height"
    return [f"{said}; no field reaches that {where}."]


def higher_words(sortie: Sortie, release: ReleaseOutlook) -> list[str]:
    """Return what going higher costs in chance, on one line."""
    bounds, higher = sortie.wish.bounds, list[str]()
    said = chance_words(release.chance_ratio, bounds)
    for one in release.heights:
        above = one.amsl_m > release.release_by_amsl_m
        words = chance_words(one.chance_ratio, bounds)
        if above and words != said and len(higher) < _N_HIGHER:
            said = words
            higher.append(f"{said} at {km_words(one.amsl_m)}")
        if above and one.chance_ratio < sortie.wish.doubtful_ratio:
            break
    return [f"Released higher, the chance is {', '.join(higher)}."] if higher else []


def lower_words(
    sortie: Sortie, release: ReleaseOutlook, fields: tuple[FieldOutlook, ...]
) -> list[str]:
    """Return where going lower gains, where the chance is less than the crew asks for.

    Of all fields that the wish counts.
    """
    wish, top_m = sortie.wish, release.window.from_amsl_m
    asked = fields[:1] if wish.bring_to == "home" else fields
    below = [(step, one.name) for one in asked for step in one.steps if step.amsl_m < top_m]
    least = release.chance_ratio + PLAINLY
    better = [one for one in below if one[0].chance_ratio >= least]
    if not better or release.is_enough:
        return []
    most, name = max(better, key=lambda one: (round(one[0].chance_ratio, 2), one[0].amsl_m))
    chance = chance_words(most.chance_ratio, wish.bounds)
    if chance == chance_words(release.chance_ratio, wish.bounds):
        return []
    name = "home" if name == sortie.fields[0].name else name
    wanted_m = wish.wanted_amsl_m
    lower = f" than the {height_words(wanted_m)} you want" if wanted_m <= top_m else ""
    return [f"Released lower{lower}, at {height_words(most.amsl_m)}, {name} has {chance}."]


def some_field_words(sortie: Sortie, release: ReleaseOutlook) -> list[str]:
    """Return what choosing the field at the release gains, where the wish leaves it open."""
    gains = release.some_field_ratio >= release.chance_ratio + PLAINLY
    if sortie.wish.bring_to == "home" or not gains:
        return []
    chance = chance_words(release.some_field_ratio, sortie.wish.bounds)
    return [
        f"Some field is in reach with a chance of {chance}: choose which at the release, by where "
        "the glider is then."
    ]


def best_step(fields: Sequence[FieldOutlook]) -> tuple[FieldOutlook, FieldStep] | None:
    """Return the field and height with the best chance of all; None where no height is told."""
    steps = [(field, one) for field in fields for one in field.steps]
    return max(steps, key=lambda one: one[1].chance_ratio, default=None)


def band_over(field: FieldOutlook, amsl_m: float) -> Band:
    """Return the band of a field for a release at a height, the last for one above them all."""
    return next((band for band in field.bands if band.to_amsl_m > amsl_m), field.bands[-1])


def limit_words(field: FieldOutlook, release: ReleaseOutlook) -> list[str]:
    """Return which speed limit ends the window, where one does."""
    if release.bound_by != "speeds":
        return []
    band = band_over(field, release.window.to_amsl_m + _NEXT_M)
    return [f"Above {km_words(band.from_amsl_m)} {one.words}." for one in band.causes[:1]]


def ends_by_speed(field: FieldOutlook, release: ReleaseOutlook) -> bool:
    """Tell whether it is a speed limit that ends the reach of the field after the window."""
    band = band_over(field, release.window.to_amsl_m + _NEXT_M)
    kinds = {cause.kind for cause in band.causes[:1]}
    return release.bound_by == "reach" and bool(kinds & {"mach", "top_eas", "speeds"})
