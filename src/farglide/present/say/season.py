"""A comparison in words: the best launch in one sentence, then launch times and spots."""

from collections.abc import Callable, Iterable, Iterator
from math import isfinite, isnan
from typing import Final

from farglide.earth.clock import day_clock_text
from farglide.outlook.season import SeasonCell, SeasonOutlook
from farglide.present.lines import blocks, part_lines
from farglide.present.part import Column, Part, Table
from farglide.present.say.text import bearing_text, sentence
from farglide.sortie.words import chance_words, duration_words, height_words, km_text, number_text

MOST_ROWS: Final = 12
_CARE: Final = (
    "Chances are of the flight as stated. Look at the ground, ask the owner, and call the air "
    "traffic unit before any launch; no line here clears one."
)
_COLUMNS: Final = (
    Column("launch", -17),
    Column("from", -17),
    Column("neck, kg", 5, short="kg"),
    Column("home", 14),
    Column("any field", 14),
    Column("home shut", 7, short="shut"),
    Column("burst, km", -8, short="  km"),
    Column("drift"),
    Column("launch wind, m/s"),
    Column("landing wind"),
    Column("light left"),
    Column("drive"),
    Column("what limits it", 16, prose=True),
)
_SPOTS: Final = "Spots without a name: how far from home, and in which direction."


def season_lines(outlook: SeasonOutlook) -> list[str]:
    """Return a comparison in lines of at most 100 columns."""
    return blocks(*map(part_lines, season_parts(outlook)))


def season_parts(outlook: SeasonOutlook) -> tuple[Part, ...]:
    """Return a comparison in parts, for a terminal and for paper."""
    times, spots = best_by_time(outlook), best_by_spot(outlook)
    return (
        Part(margin=0, facts=(first_sentence(outlook), compared_words(outlook))),
        Part(title="The first", facts=tuple(_first(outlook))),
        Part(title="The best spot of each launch time", table=_table(outlook, times)),
        Part(title="The best launch time of each spot", table=_table(outlook, spots)),
        Part(title="What would change the order", facts=tuple(_changes(outlook))),
        Part(title="Too early to judge", facts=tuple(_early(outlook))),
        Part(title="Not asked", facts=outlook.left_out),
        Part(title="Notes", facts=(_SPOTS, *_notes(outlook), _CARE)),
    )  # fmt: skip


def first_sentence(outlook: SeasonOutlook) -> str:
    """Return the best launch in one sentence, or that none is worth it."""
    if not outlook.cells:
        return "No launch could be asked."
    best = outlook.cells[0]
    chance = chance_words(outlook.chance(best), (outlook.enough_ratio,))
    where = _name(outlook, best)
    when = day_clock_text(best.launch_t_s, outlook.zone)
    if best.limit in ("barred", "ground wind"):
        why = best.reason
        if best.limit == "ground wind":
            why += f", your limit is {number_text(outlook.ground_wind_limit_mps)} m/s"
        return f"No launch here is within your limits. The best, {when} from {where}: {why}."
    to = "home" if outlook.bring_to == "home" else "a field"
    told = f"{when} from {where}, neck lift {number_text(best.neck_lift_kg, 2)} kg"
    if outlook.chance(best) >= outlook.enough_ratio:
        return f"Launch {told}: the chance of {to} is {chance}."
    return f"None of these is enough. The best is {told}: the chance of {to} is {chance}."


def best_by_time(outlook: SeasonOutlook) -> list[SeasonCell]:
    """Return the best cell of each launch time, in the order of the times."""
    found = _firsts(outlook.cells, lambda one: one.launch_t_s)
    return sorted(found, key=lambda one: one.launch_t_s)


def best_by_spot(outlook: SeasonOutlook) -> list[SeasonCell]:
    """Return the best cell of each spot, the best first; of the named spots all."""
    found = _firsts(outlook.cells, lambda one: one.spot)
    named = [one for one in found if outlook.spots[one.spot].kind != "free"]
    free = [one for one in found if outlook.spots[one.spot].kind == "free"]
    kept = [*named, *free[: max(MOST_ROWS - len(named), 0)]]
    return [one for one in found if one in kept]


def _firsts(cells: Iterable[SeasonCell], of: Callable[[SeasonCell], float]) -> list[SeasonCell]:
    found: dict[float, SeasonCell] = {}
    for one in cells:
        found.setdefault(of(one), one)
    return list(found.values())


def compared_words(outlook: SeasonOutlook) -> str:
    """Return what was compared: how many launches, for which wish, in which winds."""
    cells = outlook.cells
    n_times = len({one.launch_t_s for one in cells})
    n_fills = len({one.neck_lift_kg for one in cells})
    wish = "home" if outlook.bring_to == "home" else "any field, home first"
    return (
        f"Compared: {_count(n_times, 'launch time')}, {_count(len(outlook.spots), 'spot')} and "
        f"{_count(n_fills, 'fill')}, {outlook.n_draws} flights drawn of each, for {wish}, released "
        f"above {height_words(outlook.wanted_amsl_m)}. Winds: {outlook.wind_origin}."
    )


def _count(n: int, what: str) -> str:
    return f"{n} {what}{'' if n == 1 else 's'}"


def _first(outlook: SeasonOutlook) -> Iterator[str]:
    if not outlook.cells:
        return
    best, spot = outlook.cells[0], outlook.spots[outlook.cells[0].spot]
    yield (
        f"Home {chance_words(best.home_ratio)}, any field {chance_words(best.any_field_ratio)}, "
        f"home released at any height {chance_words(best.home_any_height_ratio)}; the balloon gets "
        f"to {height_words(outlook.wanted_amsl_m)} whole: {chance_words(best.height_ratio)}."
    )
    if best.release_by_after_launch_s is not None:
        by = day_clock_text(best.launch_t_s + best.release_by_after_launch_s, outlook.zone)
        yield f"Release by {by}; home is shut for {duration_words(best.shut_s)} of the climb."
    yield (
        f"It bursts about {km_text(best.burst_amsl_m.p50)} km high after "
        f"{_spell(best.burst_after_launch_s.p50)}, {km_text(best.drift_m, 0)} km off towards "
        f"{bearing_text(best.drift_deg)}; the strongest wind below that is "
        f"{number_text(best.strongest_mps)} m/s at {km_text(best.strongest_amsl_m, 0)} km."
    )
    yield f"Wind {_winds(best)}. Light: {_light(best)}."
    yield sentence(f"from home to {spot.name}: {_drive(outlook, best)}")
    for one in best.crossed:
        yield f"Over {one.name} ({one.kind}) in {chance_words(one.chance_ratio)}."


def _table(outlook: SeasonOutlook, cells: Iterable[SeasonCell]) -> Table:
    return Table(columns=_COLUMNS, rows=[_row(outlook, one) for one in cells])


def _row(outlook: SeasonOutlook, cell: SeasonCell) -> tuple[str, ...]:
    drift = f"{km_text(cell.drift_m, 0)} km {bearing_text(cell.drift_deg)}"
    return (
        day_clock_text(cell.launch_t_s, outlook.zone),
        outlook.spots[cell.spot].name,
        number_text(cell.neck_lift_kg, 2),
        chance_words(cell.home_ratio, (outlook.enough_ratio,)),
        chance_words(cell.any_field_ratio, (outlook.enough_ratio,)),
        f"{round(cell.shut_s / 60.0)} min",
        f"  {km_text(cell.burst_amsl_m.p50)}",
        drift,
        number_text(cell.ground_wind_mps),
        number_text(cell.landing_wind_mps),
        _left(cell),
        _spell(outlook.spots[cell.spot].drive_s),
        cell.reason or "enough",
    )


def _name(outlook: SeasonOutlook, cell: SeasonCell) -> str:
    spot = outlook.spots[cell.spot]
    return f"{spot.name} from home" if spot.kind == "free" else spot.name


def _winds(cell: SeasonCell) -> str:
    ground = f"{number_text(cell.ground_wind_mps)} m/s at the launch"
    if isnan(cell.landing_wind_mps):
        return f"{ground}, landing not told"
    landing = number_text(cell.landing_wind_mps)
    return f"{ground}, {landing} from {bearing_text(cell.landing_wind_from_deg)} landing"


def _light(cell: SeasonCell) -> str:
    left_s = cell.light_left_s
    if left_s is None:
        return "no dusk"
    return f"down {_spell(abs(left_s))} {'before' if left_s >= 0.0 else 'after'} dusk"


def _left(cell: SeasonCell) -> str:
    """Return the light left after the landing, short enough for a table."""
    left_s = cell.light_left_s
    if left_s is None:
        return "no dusk"
    return _spell(left_s) if left_s >= 0.0 else f"{_spell(-left_s)} late"


def _drive(outlook: SeasonOutlook, cell: SeasonCell) -> str:
    spot = outlook.spots[cell.spot]
    if spot.drive_s <= 0.0:
        return "no drive"
    guessed = ", guessed" if spot.drive_guessed else ""
    return f"{duration_words(spot.drive_s)} drive{guessed}"


def _spell(seconds: float) -> str:
    return duration_words(60.0 * round(seconds / 60.0)) if isfinite(seconds) else "never"


def _changes(outlook: SeasonOutlook) -> Iterator[str]:
    yield from map(sentence, outlook.changes)


def _early(outlook: SeasonOutlook) -> Iterator[str]:
    for one in outlook.early:
        when, look = (day_clock_text(t, outlook.zone) for t in (one.launch_t_s, one.look_t_s))
        now, then = chance_words(one.chance_ratio), chance_words(one.then_ratio)
        yield (
            f"{when}: {now} as the winds are doubted now. Look again {look}: {then} if the "
            "forecast stays as it is."
        )


def _notes(outlook: SeasonOutlook) -> Iterator[str]:
    yield from map(sentence, outlook.notes)
