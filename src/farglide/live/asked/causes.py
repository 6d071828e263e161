"""Causes: why a picture is as bad as it is seen, by Bayes's rule over how each would look."""

import math
from typing import Final, NamedTuple

from farglide.outlook.askedcar import CauseShare, GradeFound, Heard, StandNow
from farglide.outlook.links import OVERHEAD_DEG
from farglide.plan.preview import named_reach_m
from farglide.radio.picture import picture_seen
from farglide.rig.links import gear_of
from farglide.sortie.spec import LinkSpec

_FAR_DB: Final = 100.0
_EVEN_RATIO: Final = 0.5


class Law(NamedTuple):
    """How a cause looks: how often it is so beforehand, what it costs, and how surely."""

    before_ratio: float
    loss_db: float
    sd_db: float


DISTANCE, AIM, DAMAGE = "distance", "aim", "damage"
OVERHEAD, OWN, SENDER, LENS = "overhead", "own sender", "picture sender", "lens"
LAWS: Final = {
    DISTANCE: Law(0.40, 0.0, 0.0),
    AIM: Law(0.25, 6.0, 5.0),  # half a beam off costs 3 dB, a whole one 12
    DAMAGE: Law(0.12, 9.0, 5.0),
    OVERHEAD: Law(0.01, 12.0, 6.0),
    OWN: Law(0.10, 10.0, 6.0),
}
"""Guesses (common practice, no source)."""
_HIGH_RATIO: Final = 0.20
"""How often it is the null overhead, where it stands so high."""
_SENDER: Final = (0.07, 0.8)
"""How often it is the picture's own sender, hot or without current; how often nothing comes then.
Else all other grades come alike."""
_LENS: Final = (0.05, 0.25)
"""How often it is the lens; grades 0 to 3 alike then, whatever the link."""


def grade_found(stand: StandNow, seen: int, specs: tuple[LinkSpec, ...]) -> GradeFound | None:
    """Return what a seen grade, 5 to 0, says of the best picture link of a stand; None without.

    Raises InputError for another grade.
    """
    links = [(one, k) for k, one in enumerate(stand.links) if one.purpose == "picture"]
    if not links:
        return None
    heard, k = max(links, key=lambda one: one[0].margin_db)
    spec = specs[k]
    missing = picture_seen(heard.margin_db, seen, spec.is_digital)
    shares = _shares(stand, heard, seen, spec.is_digital)
    others = [one for one in shares if one.cause != DISTANCE]
    test = min(others, key=lambda one: abs(one.chance_ratio - _EVEN_RATIO))
    return GradeFound(
        stand=stand.name,
        elevation_deg=stand.elevation_deg,
        expected_db=heard.margin_db,
        expected_grade=heard.grade or 0,
        seen_grade=seen,
        least_db=missing.least_db,
        most_db=missing.most_db if math.isfinite(missing.most_db) else None,
        reach_m=named_reach_m(gear_of(spec).link, missing.least_db),
        causes=shares,
        test_of=test.cause,
    )


def _shares(stand: StandNow, heard: Heard, seen: int, is_digital: bool) -> tuple[CauseShare, ...]:
    link_ratio = _carries_ratio(heard, seen, is_digital)
    weights = {
        name: _before(name, stand) * min(_ratio_of(heard, law, seen, is_digital), link_ratio)
        for name, law in LAWS.items()
        if name != OWN or any(one.purpose == "command" for one in stand.links)
    }
    nothing = _SENDER[1] if seen == 0 else (1.0 - _SENDER[1]) / 5.0
    weights[SENDER] = _SENDER[0] * nothing * link_ratio
    weights[LENS] = _LENS[0] * (_LENS[1] if seen <= 3 else 0.0) * link_ratio
    total = sum(weights.values())
    shares = (CauseShare(cause=name, chance_ratio=one / total) for name, one in weights.items())
    return tuple(sorted(shares, key=lambda one: -one.chance_ratio))


def _before(name: str, stand: StandNow) -> float:
    is_high = name == OVERHEAD and stand.elevation_deg > OVERHEAD_DEG
    return _HIGH_RATIO if is_high else LAWS[name].before_ratio


def _ratio_of(heard: Heard, law: Law, seen: int, is_digital: bool) -> float:
    """Return the chance of a grade where a cause costs so much, the budget's doubt included."""
    span = picture_seen(_FAR_DB, seen, is_digital)
    low_db, high_db = _FAR_DB - span.most_db, _FAR_DB - span.least_db
    high_db = math.inf if span.least_db == 0.0 else high_db
    middle_db, sd_db = heard.margin_db - law.loss_db, max(math.hypot(heard.sd_db, law.sd_db), 0.1)
    return max(_below(high_db, middle_db, sd_db) - _below(low_db, middle_db, sd_db), 1e-9)


def _carries_ratio(heard: Heard, seen: int, is_digital: bool) -> float:
    """Return the chance that the link is good enough for a grade: nothing else makes it better."""
    low_db = _FAR_DB - picture_seen(_FAR_DB, seen, is_digital).most_db
    return max(1.0 - _below(low_db, heard.margin_db, max(heard.sd_db, 0.1)), 1e-9)


def _below(at_db: float, middle_db: float, sd_db: float) -> float:
    return 0.5 * math.erfc((middle_db - at_db) / (sd_db * math.sqrt(2.0)))
