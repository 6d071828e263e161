"""Down in words: where to look first for a glider that is carried to the ground from here."""

from typing import Final

from farglide.earth.clock import clock_text
from farglide.outlook.search import SearchOutlook
from farglide.present.say.asked.reply import Reply
from farglide.present.say.search import first_sentence, within_text
from farglide.present.say.text import FlightClock, place_text
from farglide.sortie.words import chance_words, duration_words, shares_words

_MOST: Final = 3


def search_reply(found: SearchOutlook, _: FlightClock) -> Reply:
    """Return the first place to look, were it to come down from its last place now."""
    datum, segments = found.datum, found.segments[:_MOST]
    steps = [
        f"{one.segment} from {clock_text(one.begin_t_s, found.zone)} for "
        f"{duration_words(one.look_s)}"
        for one in found.steps[:_MOST]
    ]
    shares = shares_words([one.chance_ratio for one in found.stories])
    stories = "; ".join(
        f"{one.name} {share}" for one, share in zip(found.stories, shares, strict=True)
    )
    return Reply(
        answer=first_sentence(found),
        number=f"9 in 10 within {within_text(datum.radius_90_m)} of "
        f"{place_text(datum.likely_lat_deg, datum.likely_lon_deg)}.",
        until=_stop(found),
        why=f"{stories}." if stories else "",
        change="Where it was last seen, its heading, a bearing from the side: farglide search.",
        more=(
            ("Order", f"{', then '.join(steps)}." if steps else ""),
            *((f"Piece {one.name}", f"{chance_words(one.chance_ratio)}, "
               f"{place_text(one.lat_deg, one.lon_deg)}.") for one in segments),
        ),
    )  # fmt: skip


def _stop(found: SearchOutlook) -> str:
    if found.stop.turn_t_s is None:
        return "Nothing ends the search but you."
    return f"Be back by {clock_text(found.stop.turn_t_s, found.zone)}: {found.stop.why}."
