"""A pack in words: what it holds, how old that is, what is missing, when to fetch again."""

from collections.abc import Iterator

from farglide.earth.clock import day_clock_text
from farglide.outlook.packview import PackOutlook, PackWinds
from farglide.present.lines import blocks, part_lines
from farglide.present.part import Part
from farglide.sortie.words import duration_words, km_text, number_text


def pack_lines(outlook: PackOutlook) -> list[str]:
    """Return what a pack holds, in lines of at most 100 columns."""
    launch = day_clock_text(outlook.launch_t_s, outlook.zone)
    n_bytes = sum(one.n_bytes for one in outlook.parts)
    head = (
        f"{outlook.folder}: {outlook.flight}, launch {launch}; {_count(len(outlook.parts))}, "
        f"{_size(n_bytes)}."
    )
    nothing = "Nothing that the flight file asks for."
    return blocks(
        *map(
            part_lines,
            (
                Part(margin=0, facts=(head,)),
                *(
                    Part(title=_title(one), facts=tuple(_facts(one, outlook)))
                    for one in outlook.winds
                ),
                Part(title="Missing", facts=outlook.missing or (nothing,)),
                Part(title="Parts", facts=tuple(_parts(outlook))),
            ),
        )
    )


def _title(winds: PackWinds) -> str:
    return winds.what[:1].upper() + winds.what[1:]


def _facts(winds: PackWinds, outlook: PackOutlook) -> Iterator[str]:
    yield f"{winds.origin}."
    if winds.attribution or winds.licence:
        licence = winds.licence or "not told"
        yield f"Of {winds.attribution or 'a source that is not told'}; licence: {licence}."
    yield _age(winds, outlook)
    if winds.first_t_s is not None and winds.last_t_s is not None:
        first, last = (day_clock_text(t, outlook.zone) for t in (winds.first_t_s, winds.last_t_s))
        times = f"{winds.n_times} times from {first} to {last}" if winds.n_times > 1 else first
        yield f"Valid: {times}."
    high = "" if winds.top_amsl_m is None else f", {km_text(winds.top_amsl_m)} km"
    members = f"{winds.n_members} members, " if winds.n_members > 1 else ""
    yield f"{members}{winds.n_levels} levels up to {number_text(winds.top_p_pa / 100.0)} hPa{high}."
    yield from _area(winds)


def _area(winds: PackWinds) -> Iterator[str]:
    sides = winds.south_deg, winds.north_deg, winds.west_deg, winds.east_deg
    south, north, west, east = (0.0 if one is None else one for one in sides)
    if winds.south_deg is not None:
        high = f"{_side(south, 'S', 'N')} to {_side(north, 'S', 'N')}"
        yield f"Area: {high}, {_side(west, 'W', 'E')} to {_side(east, 'W', 'E')}."


def _side(degrees: float, below: str, above: str) -> str:
    """Return one side of an area.

    >>> _side(-50.25, "S", "N"), _side(190.0, "W", "E")
    ('50.25° S', '170° W')
    """
    degrees = degrees - 360.0 if degrees > 180.0 else degrees
    return f"{abs(degrees):g}° {below if degrees < 0.0 else above}"


def _age(winds: PackWinds, outlook: PackOutlook) -> str:
    if winds.run_t_s is None:
        return "No run is told: measured winds, or a file that does not say."
    age = duration_words(max(outlook.looked_t_s - winds.run_t_s, 0.0))
    told = f"Run {day_clock_text(winds.run_t_s, 'UTC')} UTC, {age} ago."
    newer_s = outlook.newer_t_s
    if newer_s is None or winds is not outlook.winds[0]:
        return told
    when = day_clock_text(newer_s, outlook.zone)
    if newer_s <= outlook.looked_t_s:
        return (
            f"{told} A newer one should be out, since {when}: gather again while there is network."
        )
    return f"{told} The next should be out {when}."


def _parts(outlook: PackOutlook) -> Iterator[str]:
    for one in outlook.parts:
        yield f"{one.name}: {_size(one.n_bytes)}, {one.state}"
    if not outlook.is_verified:
        yield "To read and check every byte: --verify"


def _count(n: int) -> str:
    return f"{n} part" if n == 1 else f"{n} parts"


def _size(n_bytes: int) -> str:
    """Return a size as people say it.

    >>> _size(480), _size(39_675), _size(29_112_848)
    ('480 B', '40 kB', '29.1 MB')
    """
    if n_bytes < 1000:
        return f"{n_bytes} B"
    return f"{n_bytes / 1e3:.0f} kB" if n_bytes < 1e6 else f"{n_bytes / 1e6:.1f} MB"
