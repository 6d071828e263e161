"""Speeds: what to fly by height on the way to the field, and how the drawn flights fared."""

from math import isfinite
from typing import Final

from farglide.outlook.gear import GliderRow
from farglide.outlook.outlook import Outlook
from farglide.outlook.release import DownOutlook, HeightSpan, SpeedLimit, SpeedRow
from farglide.present.part import Column, Part, Table
from farglide.present.say.sentences import late_words
from farglide.present.say.text import FlightClock
from farglide.sortie.words import chance_words, km_text, number_text

SPEED_NOTE: Final = "m/s; ground and sink as a receiver shows them; –: it circles over the field"
_GLIDER_NOTE: Final = (
    "m/s; best: the flattest glide; TAS: through the air up there; EAS: as at sea level; Mach: "
    "as a share of the speed of sound"
)
IN_TIME: Final = "in time"
_LIMITS: Final[dict[SpeedLimit, str]] = {
    "top speed": "top speed, less its margin", "Mach": "Mach limit, less its margin",
}  # fmt: skip
GLIDER_HEADS: Final = (
    "height, km", "stall, TAS", "best, TAS", "best, EAS", "best, Mach", "glide ratio", "sink",
    "top, TAS", "Reynolds, 1000", "turn radius, m", "pull-out, m",
)  # fmt: skip


def second_way(outlook: Outlook) -> str:
    """Return which way stands beside the quickest: the flattest, or the one that ends in time."""
    release = outlook.release
    return IN_TIME if release is not None and release.timely is not None else "flattest"


def speeds_part(outlook: Outlook) -> Part:
    """Return what to fly by height, the quickest way and a flatter one."""
    second = second_way(outlook)
    columns = (
        Column("height, km", 10), Column("quickest: over ground", 10, short="ground"),
        Column("sink", 8), Column("EAS", 8), Column(f"{second}: over ground", 14, short="ground"),
        Column("sink", 8), Column("EAS", 8),
    )  # fmt: skip
    title, over = "What to fly, by height", f"  {'':>10}{'quickest':>24}{second:>30}"
    rows = [speed_cells(outlook, row) for row in outlook.speeds]
    table, after = Table(columns=columns, rows=rows, over=over), limit_words(outlook)
    head = f"{title} ({SPEED_NOTE})"
    return Part(title=title, note=SPEED_NOTE, head=head, table=table, after=after, long=True)


def limit_words(outlook: Outlook) -> tuple[str, ...]:
    """Return which limit, less its margin, each way runs into, and at which of the heights told."""
    quick = [(row.amsl_m, row.quick_held_by) for row in outlook.speeds]
    timely = [(row.amsl_m, row.timely_held_by) for row in outlook.speeds]
    ways = (("the quickest way", quick), ("the way in time", timely))
    return tuple(
        f"{name} is held back by the {_LIMITS[limit]}, at {_heights_text(at)}"
        for name, rows in ways
        for limit in _LIMITS
        if (at := [amsl_m for amsl_m, held_by in rows if held_by == limit])
    )


def _heights_text(amsl_m: list[float]) -> str:
    low, high = km_text(min(amsl_m), 0), km_text(max(amsl_m), 0)
    return f"{low} km" if low == high else f"{low} to {high} km"


def loss_words(outlook: Outlook) -> list[str]:
    """Return what the straight way costs against the best path, or nothing where it is unknown."""
    release = outlook.release
    if release is None or not isfinite(release.straight_loss_m):
        return []
    lost = km_text(release.straight_loss_m) if release.straight_loss_m >= 50.0 else "less than 0.1"
    return [f"flown straight home, it gets {lost} km less far than on the best path of all"]


def speed_cells(outlook: Outlook, row: SpeedRow) -> tuple[str, ...]:
    """Return one height as cells; a dash where the second way already circles."""
    quick = (row.quick_ground_mps, row.quick_sink_mps, row.quick_eas_mps)
    second = (row.flat_ground_mps, row.flat_sink_mps, row.flat_eas_mps)
    if second_way(outlook) == IN_TIME:
        second = (row.timely_ground_mps, row.timely_sink_mps, row.timely_eas_mps)
    speeds = ("–" if mps is None else number_text(mps) for mps in (*quick, *second))
    return km_text(row.amsl_m, 0), *speeds


def timely_words(outlook: Outlook, clock: FlightClock) -> str:
    """Return the flight with most height that still ends in time, or nothing."""
    release = outlook.release
    if release is None or release.timely is None:
        return ""
    timely = release.timely
    over_s, down_s = timely.over_field_after_launch_s, timely.down_after_launch_s
    over = f"at {clock.local(over_s)}, {km_text(timely.spare_m, 0)} km high"
    down = f"{down_words(timely.down)}, landed {clock.local(down_s)}"
    return f"in time with most height it is over {release.field} {over}; {down}"


def stay_words(outlook: Outlook) -> str:
    """Return how the flattest flight comes down over the field, or nothing where another is told.

    A flight in time tells its own way down.
    """
    release = outlook.release
    if release is None or release.timely is not None or release.down is None:
        return ""
    return f"over {release.field}: {down_words(release.down)}"


def down_words(down: DownOutlook) -> str:
    """Return how height is flown off over the field, and where circles alone do not stay there."""
    told = "down in the firm spiral" if down.firm_spiral else "down in gentle circles"
    legs, faced = _between_text(down.legs_between_amsl_m), _between_text(down.faced_between_amsl_m)
    if legs:
        told += f", with legs into the wind {legs}"
        told += f" and no circle {faced}" if faced else ""
    if down.beaten_between_amsl_m is None:
        return told
    high, low = (km_text(amsl_m, 1) for amsl_m in down.beaten_between_amsl_m)
    ends = "flies back" if down.comes_back else "does not come back"
    blown = f"it is blown up to {km_text(down.farthest_m)} km off and {ends}"
    return f"{told}; between {high} and {low} km the wind is faster than it can fly: {blown}"


def _between_text(amsl_m: HeightSpan | None) -> str:
    """Return between which heights; nothing for a layer too thin for whole kilometres."""
    if amsl_m is None:
        return ""
    high, low = (km_text(one, 0) for one in amsl_m)
    return f"between {high} and {low} km" if high != low else ""


def flown_words(outlook: Outlook, clock: FlightClock) -> list[str]:
    """Return how all draws fare that are released at the last moment and steered straight home."""
    flown = outlook.flown
    if flown is None or outlook.release is None:
        return []
    heights, down_s = flown.over_field_amsl_m, flown.down_after_launch_s.p50
    spread = ""
    if heights.p10 == heights.p10:
        spread = f" at {km_text(heights.p10, 0)} to {km_text(heights.p90, 0)} km"
    chance = chance_words(flown.over_field_ratio, outlook.bounds)
    over = f"{chance} reach {outlook.release.field}{spread}"
    late = late_words(outlook, down_s)
    down = f"in gentle circles and legs into the wind they land about {clock.local(down_s)}{late}"
    straight = "all drawn flights on the flattest way, steered straight along the track"
    return [f"{straight}: {over}, the packs not counted; {down}"]


def glider_part(outlook: Outlook) -> Part:
    """Return what the glider is at each height, for paper."""
    table = Table(columns=[*map(Column, GLIDER_HEADS)], rows=[*map(_glider_cells, outlook.glider)])
    return Part(title="The glider by height", note=_GLIDER_NOTE, table=table)


def _glider_cells(row: GliderRow) -> tuple[str, ...]:
    return (
        km_text(row.amsl_m, 0), number_text(row.stall_tas_mps), number_text(row.best_tas_mps),
        number_text(row.best_eas_mps, 1), number_text(row.mach, 2),
        number_text(row.glide_ratio, 1), number_text(row.sink_mps, 1), number_text(row.top_tas_mps),
        number_text(row.reynolds / 1000.0), number_text(row.turn_radius_m),
        number_text(row.pullout_m),
    )  # fmt: skip
