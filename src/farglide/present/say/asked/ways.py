"""Ways home in words: what to fly, whether a barrier can be passed, where else to put it."""

from collections.abc import Iterator
from math import atan2, cos, degrees, hypot, isfinite, isnan, radians

from farglide.outlook.askedways import BarrierNow, PutdownNow, SpeedNow
from farglide.outlook.barriers import BarrierWay
from farglide.outlook.places import Outlanding
from farglide.outlook.release import SpeedRow
from farglide.present.say.asked.notopen import not_open
from farglide.present.say.asked.reply import Reply, joined
from farglide.present.say.text import FlightClock, bearing_text, place_text
from farglide.sortie.words import chance_words, duration_words, km_text, number_text

_DEGREE_KM = 111.195
_OPEN_RATIO = 0.8
"""From this chance on a field is put before open ground; common practice, no source."""


def speed_reply(found: SpeedNow, clock: FlightClock) -> Reply:
    """Return what to fly home, let go now, as ground speed and sink that a crew can read off."""
    level = f"{km_text(found.level_amsl_m)} km, {round(found.level_after_s)} s after the release"
    wind = f"wind from {bearing_text(found.wind_from_deg)} {number_text(found.wind_mps)} m/s"
    if not found.rows:
        return Reply(
            answer=f"No speed reaches {found.field} from here.",
            number=f"Level at {level}.", until="Ask again higher up.", why=f"There {wind}.",
            change="Another field: <ask putdown>.",
        )  # fmt: skip
    first, *lower = found.rows
    spare = "" if found.spare_m is None else f"; {km_text(found.spare_m)} km to spare over it"
    return Reply(
        answer=joined(
            not_open(found.field, found.state, found.chance_ratio),
            f"Fly {_numbers(first, found.is_in_time)}.",
        ),
        number=f"For {found.field}: level at {level}{spare}.",
        until=_next(found, lower),
        why=f"At {km_text(found.level_amsl_m)} km {wind}; {_why(found)}.",
        change="Packs or light short: fly the fast numbers. Sink more than this: ask again.",
        more=tuple(_rows(found)),
    )


def _picked(row: SpeedRow, is_in_time: bool) -> tuple[float, float, float]:
    """Return ground speed, sink and EAS: flattest in time, else the way in time, else soonest."""
    flat = (row.flat_ground_mps, row.flat_sink_mps, row.flat_eas_mps)
    timely = (row.timely_ground_mps, row.timely_sink_mps, row.timely_eas_mps)
    ground, sink, eas = flat if is_in_time else timely
    if ground is None or sink is None or eas is None:
        return row.quick_ground_mps, row.quick_sink_mps, row.quick_eas_mps
    return ground, sink, eas


def _numbers(row: SpeedRow, is_in_time: bool) -> str:
    ground, sink, eas = _picked(row, is_in_time)
    return (
        f"{number_text(ground)} m/s over ground, sinking {number_text(sink)} "
        f"(EAS {number_text(eas)})"
    )


def _next(found: SpeedNow, lower: list[SpeedRow]) -> str:
    before = _picked(found.rows[0], found.is_in_time)
    for row in lower:
        now = _picked(row, found.is_in_time)
        if abs(now[0] - before[0]) > 0.15 * abs(before[0]) or abs(now[1] - before[1]) > 1.0:
            return f"Next change at {km_text(row.amsl_m, 0)} km: {_numbers(row, found.is_in_time)}."
    return "No change worth a word down to the field."


def _why(found: SpeedNow) -> str:
    if found.is_in_time:
        return "the flattest way lands in time"
    return "the flattest way would land too late, so it is flown faster"


def _rows(found: SpeedNow) -> Iterator[tuple[str, str]]:
    for row in found.rows[:: max(1, len(found.rows) // 6)]:
        fast = f"{number_text(row.quick_ground_mps)} over ground, {number_text(row.quick_sink_mps)}"
        slow = _numbers(row, found.is_in_time)
        yield f"{km_text(row.amsl_m, 0)} km", f"{slow}; fast {fast} sink"


def barrier_reply(found: BarrierNow, clock: FlightClock) -> Reply:
    """Return whether the barriers on the way can be passed, let go now."""
    chance = chance_words(found.chance_ratio)
    if not found.ways:
        return Reply(
            answer=f"No barrier lies on the way to {found.field}.",
            number=f"Let go now: {chance}.", until="It drifts on: ask again in 5 min.",
            why="The straight line crosses none that is stated.", change="Another field.",
        )  # fmt: skip
    way, over_m = found.ways[0], found.over_edge_amsl_m[0]
    commit_m = way.stations[0].ahead.amsl_m
    return Reply(
        answer=_passes(way, over_m, commit_m),
        number=f"{found.field} let go now: {chance}. {_edge(over_m, commit_m)}",
        until=_turn_back(way),
        why=_comes_in(way, commit_m),
        change="Wind against it stronger than measured, or more sink: more height is needed.",
        more=tuple(
            (one.barrier, _edge(edge_m, one.stations[0].ahead.amsl_m))
            for one, edge_m in zip(found.ways[1:], found.over_edge_amsl_m[1:], strict=True)
        ),
    )


def _passes(way: BarrierWay, over_m: float | None, commit_m: float) -> str:
    if isnan(commit_m):
        return f"Do not cross {way.barrier}: no height suffices."
    if over_m is None:
        return f"Not across {way.barrier}: out of reach now."
    if over_m >= commit_m:
        return f"It gets past {way.barrier}, let go now."
    return f"Not past {way.barrier} yet: wait for height."


def _edge(over_m: float | None, commit_m: float) -> str:
    need = "no height suffices" if isnan(commit_m) else f"{km_text(commit_m)} km are needed there"
    over = "Its edge is not reached" if over_m is None else f"Over its edge at {km_text(over_m)} km"
    return f"{over}; {need}."


def _comes_in(way: BarrierWay, commit_m: float) -> str:
    chance = chance_words(way.open_ratio)
    if isnan(commit_m):
        return f"No height at its edge gives a chance of {chance} to come in."
    return f"With {km_text(commit_m)} km at its edge the chance to come in is {chance}."


def _turn_back(way: BarrierWay) -> str:
    behind = way.stations[0].behind
    if not way.behind or behind is None:
        return "No field lies on this side: there is no turning back."
    no_height = "is possible from no height"
    back = no_height if isnan(behind.amsl_m) else f"takes {km_text(behind.amsl_m)} km at the edge"
    if isfinite(way.decision_s) and way.decision_s > 0.0:
        late = duration_words(way.decision_s)
        crossed = f"{km_text(way.stations[0].ahead.amsl_m)} km"
        open_for = f"; crossed at {crossed}, it stays in reach for {late} beyond the edge"
    else:
        open_for = ""
    return f"Turning back to {way.behind} {back}{open_for}."


def putdown_reply(found: PutdownNow, clock: FlightClock) -> Reply:
    """Return where to put it, let go now, when no field is open."""
    other, best = found.otherwise, f"{found.best_field} {chance_words(found.best_ratio)}"
    if not other.knows_ground:
        return Reply(
            answer="Nothing is known of the ground.",
            number=f"Best field, let go now: {best}.", until="", why="No [terrain] is stated.",
            change="State [terrain] and [places].",
        )  # fmt: skip
    if not other.places:
        return Reply(
            answer="No open ground is in reach now.",
            number=f"Best field, let go now: {best}.", until="It drifts on: ask again in 5 min.",
            why="None of the cells in reach is open by your bound.", change="More height.",
        )  # fmt: skip
    first, *rest = other.places
    put = f"Put it at {place_text(first.lat_deg, first.lon_deg)}."
    if found.best_ratio >= _OPEN_RATIO:
        put = f"{found.best_field} is open: land there."
    return Reply(
        answer=put,
        number=_outside(found, first),
        until="It drifts on: ask again in 5 min.",
        why=f"{_ground(first)}. Best field: {best}.",
        change="A field that opens. Look at the ground yourself: wires and animals are on no map.",
        more=tuple(
            (f"Or {k}", f"{place_text(one.lat_deg, one.lon_deg)}, "
             f"{chance_words(one.open_ratio)}; {_away(found, one)}; {_ground(one)}.")
            for k, one in enumerate(rest, 2)
        ),
    )  # fmt: skip


def _outside(found: PutdownNow, first: Outlanding) -> str:
    """Return the best open ground with its chance, and where it is if a field comes first."""
    chance = f"{chance_words(first.open_ratio)} to get there, let go now; {_away(found, first)}"
    if found.best_ratio < _OPEN_RATIO:
        return f"{chance[:1].upper()}{chance[1:]}."
    return f"Else open ground at {place_text(first.lat_deg, first.lon_deg)}: {chance}."


def _away(found: PutdownNow, one: Outlanding) -> str:
    north = (one.lat_deg - found.lat_deg) * _DEGREE_KM
    east = (one.lon_deg - found.lon_deg) * _DEGREE_KM * cos(radians(found.lat_deg))
    bearing = bearing_text(degrees(atan2(east, north)) % 360.0)
    return f"{number_text(hypot(north, east))} km off, bearing {bearing}"


def _ground(one: Outlanding) -> str:
    road = f"{number_text(one.road_m)} m from a road" if isfinite(one.road_m) else "no road known"
    slope = "" if isnan(one.slope_deg) else f", slope {number_text(one.slope_deg)}°"
    seen = f", in sight of {one.n_seen_by} stands" if one.n_seen_by else ", in sight of no stand"
    return f"Open ground, {road}{slope}{seen}"
