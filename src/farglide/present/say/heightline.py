"""Height line: a ladder of heights in characters, with the release window and where it is now."""

from math import ceil, floor
from typing import Final

from farglide.outlook.advice import Advice
from farglide.present.say.text import FlightClock
from farglide.sortie.words import km_text

WIDTH: Final = 25
_KM: Final = 1000.0
_SPARE: Final = 4  # rows that hold no mark, where there is room


def height_lines(advice: Advice, clock: FlightClock, n_rows: int) -> list[str]:
    """Return so many rows, heights upward: `#` the window, `=>` where it is now, `x half burst`.

    After the release `x` stands where a field is shut if nobody steers, `>` at the height that is
    needed at the edge of a barrier.
    Each row covers the heights from its own up to that of the row above.
    """
    low_km, step_km, n_used = _scale(_marks(advice), n_rows)
    rows = [(low_km + k * step_km) for k in reversed(range(n_used))]
    told = [_row(advice, clock, at_km * _KM, (at_km + step_km) * _KM) for at_km in rows]
    return told + [""] * (n_rows - n_used)


def _marks(advice: Advice) -> tuple[float, ...]:
    """Return the heights that must be on it."""
    release = advice.release
    ends = () if release is None else (release.from_amsl_m, release.to_amsl_m)
    burst_m = _half_burst_m(advice)
    told = (*ends, *((burst_m,) if burst_m == burst_m else ()))
    if advice.after is not None:
        told = tuple(at_m for at_m, _ in _shutting(advice))
    return (advice.place.amsl_m, *told)


def _half_burst_m(advice: Advice) -> float:
    """Return where half of the balloons have burst; NaN: nowhere."""
    return float("nan") if advice.burst is None else advice.burst.amsl_m.p50


def _shutting(advice: Advice) -> list[tuple[float, str]]:
    """Return at which heights something ends after the release, and what; the highest first."""
    found = [
        (one.shuts_amsl_m, f"x {one.name}") for one in advice.fields
        if one.shuts_amsl_m is not None and one.state != "shut"
    ]  # fmt: skip
    after = advice.after
    if after is not None and after.barrier is not None and after.barrier.commit_amsl_m is not None:
        found.append((after.barrier.commit_amsl_m, f"> {after.barrier.barrier}"))
    return sorted(found, reverse=True)


def _scale(marks: tuple[float, ...], n_rows: int) -> tuple[int, int, int]:
    """Return the lowest height and the step in whole kilometres, and how many rows hold all."""
    low_km, high_km = floor(min(marks) / _KM), floor(max(marks) / _KM)
    step_km = max(1, ceil((high_km - low_km + 1) / n_rows))
    while step_km * (low_km // step_km) + n_rows * step_km <= high_km:
        step_km += 1
    low_km = step_km * (low_km // step_km)
    n_used = min((high_km - low_km) // step_km + 1 + _SPARE, n_rows)
    below = min((n_used - (high_km - low_km) // step_km - 1) // 2, low_km // step_km)
    return low_km - step_km * max(below, 0), step_km, n_used


def _row(advice: Advice, clock: FlightClock, from_m: float, to_m: float) -> str:
    release, burst_m = advice.release, _half_burst_m(advice)
    mark, words = "|", list[str]()
    if release is not None and from_m <= release.to_amsl_m and to_m > release.from_amsl_m:
        mark = "#"
        if from_m <= release.to_amsl_m < to_m:
            words.append(f"to {clock.local(release.to_after_launch_s)}")
        elif from_m <= release.from_amsl_m < to_m:
            words.append(f"from {clock.local(release.from_after_launch_s)}")
    if from_m <= burst_m < to_m:
        words.append("x half burst")
    if advice.after is not None:
        words += [told for at_m, told in _shutting(advice) if from_m <= at_m < to_m]
    here_m = advice.place.amsl_m
    if from_m <= here_m < to_m:
        return f"{km_text(here_m):>5} =>{mark} {' '.join(words)}"[: WIDTH - 1].rstrip()
    return f"{from_m / _KM:>5.0f}   {mark} {' '.join(words)}"[: WIDTH - 1].rstrip()
