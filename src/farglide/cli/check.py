"""farglide check: what was understood of a flight file, as sentences."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby
from pathlib import Path
from typing import Final

from farglide.atlas.outline import Outline, area_m2
from farglide.cli.checked import checked
from farglide.cli.checklog import log_check_text
from farglide.cli.checkpack import pack_check_text
from farglide.cli.inputlines import GLIDER, PAYLOAD, input_sentence, key_place
from farglide.cli.told import COMPILING, Told
from farglide.earth.clock import clock_text, date_text
from farglide.flightfile.flightfile import FlightFile, InputLine, read_flight_file
from farglide.flightfile.notes import missing_notes
from farglide.kernel_store import is_warm
from farglide.plan.guesses import key_words
from farglide.plan.polarfit import with_fitted_polar
from farglide.present.lines import blocks
from farglide.present.say.preview import preview_lines
from farglide.present.say.text import sentence
from farglide.radio.ends.end import NO_PLACE
from farglide.sortie.known import Tag
from farglide.sortie.spec import Sortie
from farglide.sortie.words import number_text, permission_words
from farglide.track.journal.reader import is_log

_HEADS: Final = {
    "launch": "Launch", "balloon": "Balloon", "train": "Line", "glider": "Glider", "drop": "Drop",
    "payload": "Payload", "release": "Release", "launch_places": "Launch place",
    "doubt": "Doubt", "wish": "Wish", "wind": "Winds", "terrain": "Ground", "crew": "Crew",
    "packs": "Pack", "links": "Link", "stands": "Stand", "parts": "Part",
    "glider.timed_glides": "Timed glide", "feeds": "Feed",
}  # fmt: skip


def checked_text(file: Path, now_t_s: float) -> str:
    """Return what `farglide check` prints of a flight file, the folder of a pack, or a log."""
    if file.is_dir():
        return pack_check_text(file)
    if is_log(file):
        return log_check_text(file)
    told = Told(False, (COMPILING,))
    if not is_warm():
        told(f"{COMPILING} that a check needs, once: up to 10 s")
    text = check_text(file, now_t_s)
    told.finish()
    return text


def check_text(path: Path, now_t_s: float | None = None) -> str:
    """Return what was understood of a flight file; one with problems raises them all.

    `now_t_s`: of the clock, to tell a launch that is years away.
    """
    flight = read_flight_file(path)
    found = checked(with_fitted_polar(flight), now_t_s)
    flight = replace(found.flight, notes=(*found.flight.notes, *found.notes))
    launch = flight.sortie.launch
    when = f"{date_text(launch.t_s, launch.zone)}, {clock_text(launch.t_s, launch.zone)}"
    opening = f"{flight.sortie.name}: launch at {launch.name} on {when} ({launch.zone})."
    held = [f"  {permission_words(what)}: {state}" for what, state in flight.sortie.permissions]
    guesses = list(_guess_lines(flight.inputs)) or ["Nothing here is a guess."]
    parts = (
        [opening], preview_lines(found.preview), *_inputs(flight), _antennas(flight),
        _needs(flight), _places(flight),
        ["Permissions", *held], _notes(flight), guesses,
    )  # fmt: skip
    return "\n".join(blocks(*parts))


def _inputs(flight: FlightFile) -> Iterator[list[str]]:
    """Yield every section of the file that was read: its head, and a sentence for each number."""
    told = (one for one in flight.inputs if _is_told(flight.sortie, one))
    aboard = PAYLOAD if flight.sortie.payload else GLIDER
    for section, lines in groupby(told, key=lambda line: line.section):
        yield [
            _section_head(flight, section),
            *(f"  {input_sentence(line, aboard)}" for line in lines),
        ]


def _is_told(sortie: Sortie, line: InputLine) -> bool:
    """Tell whether a number counts in this flight: what nobody has or tested is left out."""
    counts = {
        "offset_db": False,  # the result of a test that nobody made
        "seen_to_ratio": sortie.balloon.n_flights > 0,
        "canopy_drag": line.section != "train" or sortie.train.canopy_m is not None,
    }
    if line.section == "payload" and sortie.payload is None:
        return False
    return line.number.given or counts.get(line.row.key, True)


def _section_head(flight: FlightFile, section: str) -> str:
    key, _, name = section.removesuffix("]").partition("[")
    if key == "fields":
        n = [field.name for field in flight.sortie.fields].index(name)
        return f"Field {name} ({f'field {n + 1}' if n else 'home'})"
    head = f"{_HEADS[key]} {name}" if name else _HEADS[key]
    if key == "balloon":
        return f"{head}, filled with {flight.sortie.balloon.gas}"
    if key == "wind" and flight.sortie.wind:
        return f"{head} from {flight.sortie.wind.path}"
    return head


def _antennas(flight: FlightFile) -> list[str]:
    """Return what the antennas make of the links; a measured one is read when a plan is made.

    The laws bring the compiler along, which takes its time: only antennas wait for it.
    """
    known, measured, says_more = [], list[str](), False
    for link in flight.sortie.links:
        ends = (link.sender_end, link.receiver_end)
        says_more |= any(end.says_more for end in ends)
        if paths := [path for end in ends for path in end.pattern_paths]:
            measured += [f"  Pattern from {path}, read when a plan is made" for path in paths]
            continue
        known.append(link)
        has_place = link.surroundings != NO_PLACE
        says_more |= link.tested is not None or has_place or link.rain_mmph > 0.0
    if not says_more:
        return measured
    from farglide.present.say.antennas import antenna_section
    from farglide.rig.links import antennas_of, gear_of

    return antenna_section([antennas_of(gear_of(link)) for link in known]) + measured


def _needs(flight: FlightFile) -> list[str]:
    """Return what links and triggers need, nothing where the file does not say."""
    sortie = flight.sortie
    rows = [f"  {link.name}: {', '.join(link.needs)}" for link in sortie.links if link.needs]
    rows += [
        f"  release by {one.name}: {', '.join(one.needs)}; {one.n_failures} of {one.n_tests} failed"
        for one in sortie.triggers
    ]
    return ["What each needs", *rows] if rows else []


def _places(flight: FlightFile) -> list[str]:
    """Return what is known of places besides numbers: words of fields, barriers, files."""
    lines = []
    for field in flight.sortie.fields:
        words = {"obstacles": field.obstacles, "owner": field.owner, "last light": field.last_light}
        told = [f"{key}: {said}" for key, said in words.items() if said]
        if field.outline is not None:
            told.append(f"outline of {_hectares(field.outline)} ha")
        if told:
            lines.append(f"  Field {field.name}: {'; '.join(told)}")
    for barrier in flight.sortie.barriers:
        what = f"{barrier.kind}, {_hectares(barrier.outline)} ha"
        lines.append(f"  Barrier {barrier.name}: {what}{f', {barrier.note}' * bool(barrier.note)}")
    source = flight.sortie.places
    named = [*source.paths, *(one.path for one in source.barriers)]
    lines += [f"  More from {path}, read when a plan is made" for path in named]
    return ["Places", *lines] if lines else []


def _hectares(outline: Outline) -> str:
    """Return an area in the digits that matter; a hectare is 10 000 square metres.

    >>> _hectares(Outline(points=((0.0, 0.0), (0.0, 0.01), (0.01, 0.01), (0.01, 0.0))))
    '123'
    """
    hectares = area_m2(outline) / 10_000.0
    return number_text(hectares) if hectares >= 10.0 else f"{hectares:.2g}"


def _notes(flight: FlightFile) -> list[str]:
    missing = missing_notes(flight.path.parent, flight.sortie)
    notes = [sentence(note) for note in (*flight.notes, flight.wind_note, *missing) if note]
    return ["To note", *(f"  {note}" for note in notes)] if notes else []


def _guess_lines(inputs: tuple[InputLine, ...]) -> Iterator[str]:
    guesses = [
        line
        for line in inputs
        if line.number.tag is Tag.GUESS and not line.row.choice and not line.number.fitted
    ]
    if guesses:
        yield "What is not known (guesses), and what would settle it"
    for line in guesses:
        settle = f": {line.row.settle}" if line.row.settle else ""
        said = key_words(f"{line.section}.{line.row.key}")
        yield f"  {said} ({key_place(line)}){settle}"
