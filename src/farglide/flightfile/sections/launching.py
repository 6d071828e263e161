"""Launch places: ground prepared to launch from, and drives and places that cannot be."""

from collections.abc import Iterator
from typing import Final

import numpy as np

from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import LatLon, contains, line_distance_m
from farglide.errors import FarglideError, Problem
from farglide.flightfile.entries import Entries, Entry, Section, quoted
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity, needed
from farglide.flightfile.sections.places import barriers_of
from farglide.sortie.launch_place import OWNER_WORDS, LaunchPlace, faults_of

GROUNDED: Final = ("fields", "stands", "launch_places")
"""Sections of places whose ground is that of the launch where it is not stated."""
NEAR_M: Final = 1000.0
TOP_ROAD_KMPH: Final = 130.0
"""Straight over the ground no road is faster: a drive stated shorter is a slip (common practice,
no source)."""
_ROWS: Final = (
    needed("lat", unit.ANGLE, (-89.0, 89.0), "it lies at latitude"),
    needed("lon", unit.ANGLE, (-180.0, 180.0), "and longitude"),
    Quantity("amsl", unit.HEIGHT, (-430.0, 6000.0), "its ground lies above mean sea level at",
             settle="read it off a topographic map"),
    Quantity("drive", unit.TIME, (0.0, 86_400.0),
             "the drive there from home takes, nine times in ten, less than",
             settle="drive it once"),
)  # fmt: skip


def launch_place_of(one: Entry) -> LaunchPlace:
    """Return a prepared launch place found without problems."""
    return one.spec(LaunchPlace)


def drive_problems(entries: Entries) -> Iterator[Problem]:
    """Yield drives faster than any road: to stands from the launch, to launch places from home."""
    launch, fields = entries.the("launch"), entries.of["fields"]
    home = fields[0] if fields else launch
    for start, section in ((launch, "stands"), (home, "launch_places")):
        for one in entries.of[section]:
            yield from _too_fast(start, one)


def _too_fast(start: Entry, one: Entry) -> Iterator[Problem]:
    drive_s, here, there = one.stated("drive_s"), _place(start), _place(one)
    if drive_s is None or here is None or there is None:
        return
    away_m = float(line_distance_m((here,), np.array([there[0]]), np.array([there[1]]))[0])
    least_min = 0.06 * away_m / TOP_ROAD_KMPH
    if away_m >= NEAR_M and drive_s / 60.0 < least_min:
        what = f"is {drive_s / 60.0:.0f} min for {away_m / 1000.0:.0f} km as the crow flies."
        remedy = (
            f"Allowed: {least_min:.0f} min or more, {TOP_ROAD_KMPH:.0f} km/h straight there. "
            'If others wait there, write crew = "second crew".'
        )
        yield one.problem("drive", what, remedy if "crew" in one.texts else remedy.split(" If")[0])


def launch_place_problems(entries: Entries) -> Iterator[Problem]:
    """Yield launch places in or behind barriers of the file itself, and a launch in the water."""
    launch, fields = entries.the("launch"), entries.of["fields"]
    barriers, home = _barriers(entries), _place(fields[0] if fields else launch)
    start = _place(launch)
    for barrier in barriers if start else ():
        at = np.array([launch.value("lat_deg")]), np.array([launch.value("lon_deg")])
        if barrier.kind == "water" and contains(barrier.outline, *at)[0]:
            what = f'lie in {barrier.name}, a barrier of kind "water".'
            yield launch.problem("lat_deg, lon_deg", what, "Correct the place or the outline.")
    for one in entries.of["launch_places"]:
        if home is not None and _place(one) is not None:
            for fault in faults_of(launch_place_of(one), home, barriers):
                yield one.problem("", f'"{one.name}" {fault.what}', fault.remedy)


def _place(one: Entry) -> LatLon | None:
    """Return where an entry lies, None where its numbers were refused."""
    lat_deg, lon_deg = one.place
    known = lat_deg == lat_deg and lon_deg == lon_deg and (lat_deg, lon_deg) != (0.0, 0.0)
    return (lat_deg, lon_deg) if known else None


def _barriers(entries: Entries) -> tuple[Barrier, ...]:
    """Return the barriers whose outlines can be; what is wrong with others is told elsewhere."""
    found: list[Barrier] = []
    for one in entries.of["barriers"]:
        try:
            found += barriers_of([one])
        except FarglideError:
            continue
    return tuple(found)


LAUNCH_PLACES: Final = Section(
    name="launch_places",
    noun="launch place",
    about="One section for each place, beside the launch, that the crew has prepared to launch "
    "from: each is asked for its own chance, and the best is the advice. See :doc:`launch`.",
    rows=_ROWS,
    texts=("name", "surface", "trees_upwind", "obstacles"),
    choices={"owner": (OWNER_WORDS, "not asked")},
    words={
        "name": "the place's name; no two alike",
        "owner": f'what the owner said: {quoted(OWNER_WORDS)}; else ``"not asked"``. '
        'A place with ``"refused"`` is never advised',
        "surface": "where the balloon is laid out, in a few words: ``mown grass, dry``",
        "trees_upwind": "what shelters the filling from the usual wind, how high and how far off: "
        "``spruces 20 m high, 60 m off``",
        "obstacles": "what the glider on its line must clear down-wind: wires, trees, houses",
    },
)
