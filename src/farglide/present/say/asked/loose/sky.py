"""Sun in words after the release: which way to turn by it, for the field that is steered for."""

from math import atan2, degrees
from typing import Final

from farglide.outlook.advice import Advice
from farglide.outlook.after import Stage
from farglide.outlook.asked import SunNow
from farglide.present.say.asked.reply import Reply
from farglide.present.say.asked.sky import turn_reply
from farglide.present.say.links.aim import side_words
from farglide.present.say.spokenafter import is_low, is_over
from farglide.present.say.text import FlightClock, bearing_text
from farglide.sortie.words import km_text

_EYE_DEG: Final = 10.0
"""By eye a course by the sun is no better; common practice, no source."""
_LOST_DEG: Final = 40.0
_FIRST: Final = {
    Stage.DROPPED: "Hold still until it is level. Then: ",
    Stage.TIED_ON: "Send the release first. Then: ",
}


def sun_after_reply(found: SunNow, advice: Advice, clock: FlightClock) -> Reply:
    """Return which way to turn by the sun; over its field that there is no course to hold."""
    after, told = advice.after, turn_reply(found, clock, "as advised")
    if after is None or advice.stage is Stage.DOWN:
        return Reply("It should be down: there is nothing to turn.", change="It is still seen.")
    landing = after.landing
    into: tuple[tuple[str, str], ...] = ()
    if landing is not None and found.elevation_deg > 0.0:
        right_deg = found.azimuth_deg - landing.wind_from_deg
        wind = bearing_text(landing.wind_from_deg)
        into = (("Land", f"into the wind from {wind}: sun at {side_words(right_deg)}."),)
        if is_low(advice, after):
            told = told._replace(answer=f"Land into the wind: sun at {side_words(right_deg)}.")
    if after.steer is None:
        told = told._replace(answer=f"No field is in reach. {told.answer}")
    elif is_over(after.steer):
        over = f"It is over {after.steer.field}: circle, there is no course to hold."
        told = told._replace(answer=over, until="It drifts off: then ask again.")
    if after.steer is None or not (is_low(advice, after) or is_over(after.steer)):
        told = _sure(found, advice, told)
    return told._replace(answer=_first(advice, told.answer), more=(*told.more, *into))


def _first(advice: Advice, answer: str) -> str:
    """Return an answer with what comes before it."""
    first = _FIRST.get(advice.stage)
    return answer if first is None else f"{first}{_small(answer)}"


def _sure(found: SunNow, advice: Advice, told: Reply) -> Reply:
    """Return a reply with how far its course may be off, the place being known no better."""
    most_m, aim = advice.place.most_within_m, found.aims[0]
    off_deg = degrees(atan2(most_m, max(aim.distance_m, 1.0)))
    if off_deg < _EYE_DEG:
        return told
    known = f"The place is known to {km_text(most_m)} km alone"
    if off_deg > _LOST_DEG:
        answer = (
            f"Too unsure for a course: first read its place. If it must be: {_small(told.answer)}"
        )
        return told._replace(answer=answer, why=f"{known}. {told.why}")
    return told._replace(why=f"{known}: the course may be {off_deg:.0f}° off. {told.why}")


def _small(words: str) -> str:
    return words[:1].lower() + words[1:]
