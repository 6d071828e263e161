"""Learning: numbers for the next flight, out of what one flight or several say of each."""

from collections.abc import Sequence

from farglide.outlook.review import Learned
from farglide.review.pooled import Shown, next_value
from farglide.review.said import ASCENT, Said

_STRANGE_RATIO = 2.0
"""What is so many times as large as believed, or as small, is asked about."""


def learned_of(said: Sequence[Sequence[Said]]) -> tuple[Learned, ...]:
    """Return a number for each key and gear, in the order of the first flight that has it.

    `said`: of each flight, the newest last. What was believed is what its newest flight file says.
    """
    found: dict[tuple[str, str], list[Said]] = {}
    for flight in said:
        for one in flight:
            found.setdefault((one.key, one.gear), []).append(one)
    return tuple(_learned(some) for some in found.values())


def questions_of(said: Sequence[Sequence[Said]]) -> tuple[str, ...]:
    """Return a question for each number that came so far off that it may be a slip."""
    return tuple(
        f"{one.what} of {one.gear}: {one.shown.value:.3g} against {one.belief.value:.3g} believed."
        " Was it that flight's gear?"
        for flight in said
        for one in flight
        if one.shown is not None and not one.shown.at_least and _is_strange(one)
    )


def _is_strange(one: Said) -> bool:
    believed = one.belief.value
    if one.shown is None or believed <= 0.0 or one.key.endswith("_db") or "wind" in one.key:
        return False
    return not 1.0 / _STRANGE_RATIO < one.shown.value / believed < _STRANGE_RATIO


def _stated_spread(key: str, value: float, sd: float) -> float:
    """Return a spread as the flight file states it.

    The doubt about the mean climb is half that about the drag, which it stands in place of.
    """
    if not key.endswith("_ratio"):
        return sd
    share = sd / abs(value) if value else 0.0
    return 0.5 * share if key == ASCENT else share


def _learned(some: Sequence[Said]) -> Learned:
    """Return the number of one key and one gear."""
    newest = some[-1]
    told = [one.shown for one in some if one.shown is not None]
    belief = newest.belief
    use = next_value(belief, told)
    last: Shown | None = next((one.shown for one in reversed(some) if one.shown is not None), None)
    return Learned(
        key=newest.key,
        what=newest.what,
        unit=newest.unit,
        gear=newest.gear,
        thought=belief.value,
        thought_sd=belief.sd,
        was=None if last is None else last.value,
        was_sd=None if last is None else last.sd,
        was_at_least=last is not None and last.at_least,
        use=use.value if told else belief.value,
        use_sd=use.sd if told else belief.sd,
        spread_key=newest.spread_key,
        spread=_stated_spread(newest.spread_key, use.value, use.sd if told else belief.sd),
        between_sd=use.between_sd if told and belief.sd > 0.0 else None,
        n_told=len(told),
        n_at_least=sum(one.at_least for one in told),
        why=newest.why if not told or newest.shown is not None else "",
    )
