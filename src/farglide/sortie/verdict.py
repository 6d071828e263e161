"""Verdict: the answer and the reason as sentences, made of what was found and nothing else."""

from typing import Final

from farglide.sortie.outlook import Ending, FieldOutlook, ReleaseOutlook
from farglide.sortie.spec import Sortie
from farglide.sortie.stage import pack_end
from farglide.sortie.words import km_words, moment_words, times_words

_ENDING: Final[dict[Ending, str]] = {
    "burst": "then the burst grows likely",
    "reach": "then the way back grows too long",
    "packs": "then the packs do not last",
    "light": "then it gets dark too soon",
}


def verdict(sortie: Sortie, release: ReleaseOutlook | None) -> str:
    """Return the decision in one sentence."""
    launch = sortie.launch
    at = moment_words(0.0, launch.t_s, launch.zone)
    if not sortie.fields:
        return (
            f"Launch from {launch.name} at {at}: no field is prepared, so there is nowhere to land."
        )
    if release is None:
        return f"Launch from {launch.name} at {at}: no field is open at any moment of the climb."
    window = release.window
    start = moment_words(window.from_after_launch_s, launch.t_s, launch.zone)
    end = moment_words(window.to_after_launch_s, launch.t_s, launch.zone)
    height = km_words(0.5 * (window.from_amsl_m + window.to_amsl_m))
    name = "home" if release.field == sortie.fields[0].name else release.field
    between = f"between {start} and {end}" if start != end else f"at {start}"
    return (
        f"Launch from {launch.name} at {at}, release {between}, near {height}: "
        f"{name} {times_words(release.odds_ratio)}."
    )


def why(
    sortie: Sortie,
    release: ReleaseOutlook | None,
    fields: tuple[FieldOutlook, ...],
    gap_s: float,
) -> str:
    """Return the reason in two or three short sentences."""
    parts = []
    if release is not None:
        by = moment_words(release.release_by_after_launch_s, sortie.launch.t_s, sortie.launch.zone)
        parts.append(f"Release by {by}: {_ENDING[release.bound_by]}.")
        chosen = next(field for field in fields if field.name == release.field)
        parts += _shut_words(sortie, chosen)
    minutes = gap_s / 60.0
    if minutes >= 1.0:
        parts.append(f"For {minutes:.0f} min of the climb there is nowhere to land.")
    elif release is not None:
        parts.append("At every other moment some field is open.")
    if release is not None and release.best_glide_end_after_launch_s > _packs_end_s(sortie):
        parts.append("Come home faster than the flattest way: the packs end before it does.")
    return " ".join(parts)


def _packs_end_s(sortie: Sortie) -> float:
    return min((pack_end(pack).mean for pack in sortie.packs), default=float("inf"))


def _shut_words(sortie: Sortie, field: FieldOutlook) -> list[str]:
    shut = [band for band in field.bands if band.state == "shut" and band.from_after_launch_s > 0.0]
    if not shut:
        return []
    launch = sortie.launch
    start = moment_words(shut[0].from_after_launch_s, launch.t_s, launch.zone)
    end = moment_words(shut[0].to_after_launch_s, launch.t_s, launch.zone)
    reason = f" ({shut[0].reason})" if shut[0].reason else ""
    return [f"{field.name} is shut from {start} to {end}{reason}."]
