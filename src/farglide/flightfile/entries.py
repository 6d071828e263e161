"""Sheet: the sections of a flight file as read, before they are held against each other."""

import difflib
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Final

from farglide.atlas.barriers import BARRIER_KINDS
from farglide.earth.clock import check_zone, seconds_from_datetime
from farglide.errors import InputError, Problem
from farglide.flightfile.reading.keys import Reader, tidy
from farglide.flightfile.reading.lists import Table, cold_table_of, names_of
from farglide.flightfile.reading.outlines import Corners, read_files, read_outline, with_clock_words
from farglide.flightfile.sections import gearkeys, keytable
from farglide.flightfile.sections.antennakeys import ENDS, PATTERN_FILES
from farglide.flightfile.standins import DRAG_TABLE, Numbers, fill_balloon, fill_drop, fill_glider
from farglide.sortie.antennas import ANTENNA_CHOICES
from farglide.sortie.spec import Tag

SECTIONS: Final = ("flight", "launch", "balloon", "train", "glider", "drop", "packs", "fields")
SECTIONS_ASIDE: Final = (
    "links", "stands", "triggers", "parts", "terrain", "barriers", "places", "doubt", "wish",
    "wind", "permissions", "crew",
)  # fmt: skip
_EARLIEST_YEAR: Final = 1980
_LATEST_YEAR: Final = 2099


@dataclass(slots=True)
class Entry:
    """One of several sections of a kind: a pack, a field, a link, a barrier."""

    name: str
    numbers: Numbers
    texts: dict[str, str] = field(default_factory=dict)
    lists: dict[str, tuple[str, ...]] = field(default_factory=dict)
    tables: dict[str, Table] = field(default_factory=dict)
    counts: dict[str, int] = field(default_factory=dict)
    outline: Corners = ()  # of a field or a barrier


@dataclass(slots=True)
class Sheet:
    """Everything a flight file says, section by section; refused numbers are NaN."""

    name: str = ""
    launch_name: str = ""
    launch_t_s: float = math.nan
    launch_offset_h: float = 0.0  # of the clock it is written in, from UTC
    zone: str = "UTC"
    gas: str = "helium"
    drag_table: tuple[tuple[float, float], ...] = DRAG_TABLE
    drag_given: bool = False
    wind_file: str | None = None
    terrain_files: tuple[str, ...] = ()
    places_files: tuple[str, ...] = ()
    numbers: dict[str, Numbers] = field(default_factory=dict)  # by section
    packs: list[Entry] = field(default_factory=list)
    fields: list[Entry] = field(default_factory=list)
    glides: list[Entry] = field(default_factory=list)
    links: list[Entry] = field(default_factory=list)
    stands: list[Entry] = field(default_factory=list)
    triggers: list[Entry] = field(default_factory=list)
    parts: list[Entry] = field(default_factory=list)
    barriers: list[Entry] = field(default_factory=list)
    permissions: tuple[tuple[str, str], ...] = ()
    counts: dict[str, int] = field(default_factory=dict)


def zone_text(offset: timedelta) -> str:
    """Return a fixed offset from UTC as the flight file writes it.

    >>> zone_text(timedelta(hours=-3, minutes=-30)), zone_text(timedelta(0))
    ('UTC-03:30', 'UTC')
    """
    minutes = round(offset.total_seconds() / 60.0)
    if not minutes:
        return "UTC"
    return f"UTC{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def read_sheet(document: Mapping[str, object], problems: list[Problem]) -> Sheet:
    """Return what a parsed flight file says; every problem met is added to `problems`."""
    sheet = Sheet()
    _refuse_strange_sections(document, problems)
    _read_flight(sheet, document, problems)
    _read_launch(sheet, document, problems)
    _read_balloon(sheet, document, problems)
    _read_plain(sheet, document, "train", problems)
    _read_glider(sheet, document, problems)
    _read_plain(sheet, document, "drop", problems)
    fill_drop(sheet.numbers["drop"], sheet.numbers["glider"])
    sheet.packs = _read_entries(document, "packs", problems)
    sheet.fields = _read_entries(document, "fields", problems)
    sheet.links = _read_entries(document, "links", problems)
    sheet.stands = _read_entries(document, "stands", problems)
    sheet.triggers = _read_entries(document, "triggers", problems)
    sheet.parts = _read_entries(document, "parts", problems)
    sheet.barriers = _read_entries(document, "barriers", problems)
    _fill_heights(sheet)
    _read_plain(sheet, document, "doubt", problems)
    _read_plain(sheet, document, "wish", problems)
    _read_terrain(sheet, document, problems)
    _read_places(sheet, document, problems)
    _read_wind(sheet, document, problems)
    _read_permissions(sheet, document, problems)
    _read_crew(sheet, document, problems)
    return sheet


def _reader(document: Mapping[str, object], section: str, problems: list[Problem]) -> Reader:
    table = document.get(section, {})
    if not isinstance(table, dict):
        title = f"[{section}]"
        remedy = f"Write {title} on a line of its own and the keys below it."
        problems.append(Problem(title, "is not a section.", remedy))
        table = {}
    return Reader(f"[{section}]", table, problems)


def _finish(reader: Reader) -> None:
    places: dict[str, set[str]] = {}
    for section, quantities in keytable.SECTIONS.items():
        for key in (key for one in quantities for key in one.keys):
            places.setdefault(key, set()).add(f"[{section}]")
    elsewhere = {key: min(found) for key, found in places.items() if len(found) == 1}
    reader.finish(elsewhere)


def _refuse_strange_sections(document: Mapping[str, object], problems: list[Problem]) -> None:
    every = (*SECTIONS, *SECTIONS_ASIDE)
    for name in document:
        if name not in every:
            near = difflib.get_close_matches(name, every, n=1)
            what = "is not a section of a flight file."
            remedy = f"Did you mean {near[0]}?" if near else f"Sections: {', '.join(every)}."
            problems.append(Problem(f"[{tidy(name).strip(chr(34))}]", what, remedy))


def _read_flight(sheet: Sheet, document: Mapping[str, object], problems: list[Problem]) -> None:
    reader = _reader(document, "flight", problems)
    sheet.name = reader.text("name")
    reader.known_keys.add("launch_at")
    moment = _launch_moment(reader)
    sheet.zone = reader.text("zone")
    if moment is not None:
        offset = moment.utcoffset() or timedelta(0)
        sheet.launch_t_s = seconds_from_datetime(moment)
        sheet.launch_offset_h = offset.total_seconds() / 3600.0
        sheet.zone = sheet.zone or zone_text(offset)
    try:
        check_zone(sheet.zone or "UTC")
    except InputError as error:
        what = f"is {tidy(sheet.zone)}; allowed: {error.allowed}."
        reader.refuse("zone", what, error.remedy)
    _finish(reader)


def _launch_moment(reader: Reader) -> datetime | None:
    example = "launch_at = 2027-01-23T16:40:00+07:00"
    if "launch_at" not in reader.table:
        reader.refuse("launch_at", "is missing.", f"Write date, time and offset: {example}")
        return None
    moment = reader.table["launch_at"]
    if not isinstance(moment, datetime):
        remedy = f"Write it without quotes, with date, time and offset: {example}"
        reader.refuse("launch_at", f"is {tidy(moment)}, not a date with a time.", remedy)
        return None
    if moment.tzinfo is None:
        remedy = f"Add Z for UTC or the offset of your clock: {example}"
        reader.refuse("launch_at", f"is {moment.isoformat()}, without a zone.", remedy)
        return None
    if not _EARLIEST_YEAR <= moment.year <= _LATEST_YEAR:
        allowed = f"allowed: the years {_EARLIEST_YEAR} to {_LATEST_YEAR}."
        reader.refuse("launch_at", f"is {moment.isoformat()}; {allowed}")
        return None
    return moment


def _read_launch(sheet: Sheet, document: Mapping[str, object], problems: list[Problem]) -> None:
    reader = _reader(document, "launch", problems)
    sheet.launch_name = reader.text("name", "the launch place")
    sheet.numbers["launch"] = reader.numbers(keytable.LAUNCH)
    _finish(reader)


def _read_balloon(sheet: Sheet, document: Mapping[str, object], problems: list[Problem]) -> None:
    reader = _reader(document, "balloon", problems)
    sheet.gas = reader.choice("gas", ("helium", "hydrogen"), None)
    numbers = reader.numbers(gearkeys.BALLOON)
    fill_balloon(numbers)
    sheet.numbers["balloon"] = numbers
    reader.known_keys.add("drag_table")
    constant = numbers["drag_coefficient"]
    if "drag_table" in reader.table:
        sheet.drag_table = _drag_table(reader)
        if not numbers["drag_factor"].given and not numbers["drag_factor"].tagged:
            numbers["drag_factor"] = replace(numbers["drag_factor"], tag=Tag.TYPICAL)
        if constant.given:
            remedy = "Keep one of them."
            reader.refuse("drag_coefficient and drag_table", "say the same thing twice.", remedy)
    elif constant.given:
        sheet.drag_table = ((1.0e4, constant.value), (1.0e7, constant.value))
    sheet.drag_given = constant.given or "drag_table" in reader.table
    _finish(reader)


def _drag_table(reader: Reader) -> tuple[tuple[float, float], ...]:
    rows = reader.table["drag_table"]
    shape = "Write drag_table = [[100000, 0.68], [500000, 0.32]], Reynolds number and C_d."
    if not isinstance(rows, list) or not rows:
        reader.refuse("drag_table", f"is {tidy(rows)}, not a list of pairs.", shape)
        return DRAG_TABLE
    points: list[tuple[float, float]] = []
    for i, row in enumerate(rows, start=1):
        if not isinstance(row, list) or len(row) != 2 or not all(map(_is_number, row)):
            reader.refuse("drag_table", f"row {i} is {tidy(row)}, not two numbers.", shape)
        elif not 1.0 <= row[0] <= 1.0e8 or not 0.05 <= row[1] <= 2.0:
            allowed = "allowed: Reynolds number 1 to 1e8, C_d 0.05 to 2."
            reader.refuse("drag_table", f"row {i} is {tidy(row)}; {allowed}")
        else:
            points.append((float(row[0]), float(row[1])))
    if any(b[0] <= a[0] for a, b in pairwise(points)):
        reader.refuse("drag_table", "has Reynolds numbers that do not rise.", "Sort the rows.")
    return tuple(points)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _read_plain(
    sheet: Sheet, document: Mapping[str, object], section: str, problems: list[Problem]
) -> None:
    reader = _reader(document, section, problems)
    sheet.numbers[section] = reader.numbers(keytable.SECTIONS[section])
    _finish(reader)


def _read_glider(sheet: Sheet, document: Mapping[str, object], problems: list[Problem]) -> None:
    reader = _reader(document, "glider", problems)
    numbers = reader.numbers(gearkeys.GLIDER)
    sheet.numbers["glider"] = numbers
    reader.known_keys.add("timed_glides")
    sheet.glides = _read_entries(reader.table, "glider.timed_glides", problems)
    if numbers["lift_max"].given and numbers["stall_eas_mps"].given:
        reader.refuse("lift_max and stall_eas", "say the same thing twice.", "Keep one of them.")
    fill_glider(numbers)
    _finish(reader)


def _read_entries(
    document: Mapping[str, object], section: str, problems: list[Problem]
) -> list[Entry]:
    rows = document.get(section.rpartition(".")[2], [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        remedy = f"Write [[{section}]], in double brackets, above each one."
        problems.append(Problem(f"[[{section}]]", "is not a list of sections.", remedy))
        return []
    return [_read_entry(row, section, i, problems) for i, row in enumerate(rows, start=1)]


_ENTRY_TEXTS: Final[Mapping[str, Sequence[str]]] = {
    "packs": ("name",),
    "fields": ("name", "role", "surface", "obstacles", "owner", "last_light"),
    "barriers": ("name", "note", "file"),
    "glider.timed_glides": (),
    "links": (
        "name",
        *(f"{end}_{key}" for end in ENDS for key in PATTERN_FILES),
    ),
    "stands": ("name",),
    "triggers": ("name",),
    "parts": ("name",),
}
_ENTRY_LISTS: Final = {"links": ("needs",), "triggers": ("needs",)}
_ENTRY_TABLES: Final = {"packs": ("cold_table",)}
_ENTRY_CHOICES: Final[Mapping[str, Mapping[str, tuple[Sequence[str], str | None]]]] = {
    "links": {
        "purpose": (("command", "picture", "position"), None),
        "kind": (("analogue", "digital"), "analogue"),
        **ANTENNA_CHOICES,
    },
    "parts": {"at": (("aboard", "ground"), "aboard")},
    "barriers": {"kind": (BARRIER_KINDS, "no landing")},
}
_ENTRY_NOUNS: Final = {
    "packs": "pack", "fields": "field", "links": "link", "stands": "stand", "triggers": "trigger",
    "parts": "part", "barriers": "barrier",
}  # fmt: skip


def _read_entry(row: Mapping[str, object], section: str, i: int, problems: list[Problem]) -> Entry:
    reader = Reader(f"[[{section}]] {i}", with_clock_words(row, "last_light"), problems)
    texts = {key: reader.text(key) for key in _ENTRY_TEXTS[section]}
    for key, (allowed, default) in _ENTRY_CHOICES.get(section, {}).items():
        texts[key] = reader.choice(key, allowed, default)
    noun = _ENTRY_NOUNS.get(section, "glide")
    name = texts.pop("name", "") or f"{noun} {i}"
    entry = Entry(name, reader.numbers(keytable.SECTIONS[section]), texts)
    entry.lists = {key: names_of(reader, key) for key in _ENTRY_LISTS.get(section, ())}
    for key in _ENTRY_TABLES.get(section, ()):
        table = cold_table_of(reader, key)
        if table is not None:
            entry.tables[key] = table
    entry.counts = {key: reader.count(key) for key in keytable.ENTRY_COUNTS.get(section, ())}
    if section in ("fields", "barriers"):
        entry.outline = read_outline(reader)
    _finish(reader)
    return entry


def _fill_heights(sheet: Sheet) -> None:
    """Fill missing ground heights: the launch from the stated fields' mean, fields from it."""
    launch = sheet.numbers["launch"]
    known = [one.numbers["amsl_m"].value for one in sheet.fields if one.numbers["amsl_m"].given]
    known = [value for value in known if not math.isnan(value)]
    if not launch["amsl_m"].given:
        mean = sum(known) / len(known) if known else 0.0
        launch["amsl_m"] = replace(launch["amsl_m"], value=mean, tag=Tag.GUESS)
    for one in (*sheet.fields, *sheet.stands):
        if not one.numbers["amsl_m"].given:
            height = launch["amsl_m"].value
            one.numbers["amsl_m"] = replace(one.numbers["amsl_m"], value=height, tag=Tag.GUESS)


def _read_terrain(sheet: Sheet, document: Mapping[str, object], problems: list[Problem]) -> None:
    reader = _reader(document, "terrain", problems)
    sheet.numbers["terrain"] = reader.numbers(keytable.SECTIONS["terrain"])
    sheet.terrain_files = read_files(reader, "ground.tif")
    _finish(reader)


def _read_places(sheet: Sheet, document: Mapping[str, object], problems: list[Problem]) -> None:
    reader = _reader(document, "places", problems)
    sheet.places_files = read_files(reader, "area.geojson")
    _finish(reader)


def _read_wind(sheet: Sheet, document: Mapping[str, object], problems: list[Problem]) -> None:
    reader = _reader(document, "wind", problems)
    sheet.numbers["wind"] = reader.numbers(keytable.WIND)
    sheet.wind_file = reader.text("file") or None
    if sheet.wind_file is None and reader.table:
        reader.refuse("file", "is missing.", 'Write file = "winds.csv", or take [wind] out.')
    _finish(reader)


def _read_permissions(
    sheet: Sheet, document: Mapping[str, object], problems: list[Problem]
) -> None:
    reader = _reader(document, "permissions", problems)
    sheet.permissions = tuple(
        (what, reader.choice(what, keytable.PERMISSION_STATES, "missing"))
        for what in keytable.PERMISSIONS
    )
    _finish(reader)


def _read_crew(sheet: Sheet, document: Mapping[str, object], problems: list[Problem]) -> None:
    reader = _reader(document, "crew", problems)
    sheet.numbers["crew"] = reader.numbers(keytable.CREW)
    sheet.counts = {key: reader.count(key) for key in keytable.COUNTS}
    for tried, failed in (("releases", "release_failures"), ("pullouts", "pullout_failures")):
        if sheet.counts[f"n_{failed}"] > sheet.counts[f"n_{tried}"]:
            what = f"is {sheet.counts[f'n_{failed}']}, more than n_{tried}."
            reader.refuse(f"n_{failed}", what, f"n_{tried} counts all tries, failed ones too.")
    _finish(reader)
