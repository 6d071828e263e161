"""farglide check: what was understood of a flight file, as sentences."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from farglide.atlas.outline import Outline, area_m2
from farglide.earth.clock import clock_text, date_text
from farglide.flightfile.flightfile import FlightFile, InputLine, read_flight_file
from farglide.flightfile.notes import missing_notes
from farglide.flightfile.reading.endings import unit_text
from farglide.plan.polarfit import with_fitted_polar
from farglide.radio.ends.end import NO_PLACE
from farglide.sortie.spec import Tag
from farglide.sortie.words import permission_words

_HEADS: Final = {
    "launch": "Launch", "balloon": "Balloon", "train": "Line", "glider": "Glider", "drop": "Drop",
    "doubt": "Doubt", "wish": "Wish", "wind": "Winds", "terrain": "Ground", "crew": "Crew",
}  # fmt: skip


def check_text(path: Path) -> str:
    """Return what was understood of a flight file; one with problems raises them all."""
    flight = with_fitted_polar(read_flight_file(path))
    held = [f"  {permission_words(what)}: {state}" for what, state in flight.sortie.permissions]
    guesses = list(_guess_lines(flight.inputs)) or ["Nothing here is a guess."]
    parts = (
        _opening(flight), _inputs(flight), _antennas(flight), _needs(flight), _places(flight),
        ["Permissions", *held], _notes(flight), guesses,
    )  # fmt: skip
    return "\n\n".join("\n".join(lines) for lines in parts if lines)


def _opening(flight: FlightFile) -> list[str]:
    launch = flight.sortie.launch
    when = f"{date_text(launch.t_s, launch.zone)}, {clock_text(launch.t_s, launch.zone)}"
    return [f"{flight.sortie.name}: launch at {launch.name} on {when} ({launch.zone})."]


def _inputs(flight: FlightFile) -> list[str]:
    lines: list[str] = []
    section = ""
    for line in flight.inputs:
        if not line.number.given and line.row.key == "offset_db":
            continue  # the result of a test that nobody made is not worth a sentence
        if line.section != section:
            section = line.section
            lines += (
                ["", *_section_head(flight, section)] if lines else _section_head(flight, section)
            )
        lines.append(f"  {_sentence(line)}")
    return lines


def _section_head(flight: FlightFile, section: str) -> list[str]:
    if section.startswith("fields["):
        names = [field.name for field in flight.sortie.fields]
        name = section[len("fields[") : -1]
        place = "home" if names and name == names[0] else f"field {names.index(name) + 1}"
        return [f"Field {name} ({place})"]
    if section.startswith("packs["):
        return [f"Pack {section[len('packs[') : -1]}"]
    for key, noun in (("links", "Link"), ("stands", "Stand"), ("parts", "Part")):
        if section.startswith(f"{key}["):
            return [f"{noun} {section[len(key) + 1 : -1]}"]
    if section.startswith("glider.timed_glides["):
        return [f"Timed glide {section[len('glider.timed_glides[') : -1]}"]
    head = _HEADS[section]
    if section == "balloon":
        return [f"{head}, filled with {flight.sortie.balloon.gas}"]
    if section == "wind" and flight.sortie.wind:
        return [f"{head} from {flight.sortie.wind.path}"]
    return [head]


def _sentence(line: InputLine) -> str:
    """Return one number as a sentence: 'The balloon weighs 1 kg, measured.'"""
    row, number = line.row, line.number
    unit = " MHz" if row.unit == "hz" else unit_text(row.unit)
    doubt = f" ± {_digits(number.sd, row.unit)}{unit}" if number.sd else ""
    origin = "" if row.choice else f", {number.tag.value}"
    says = row.says[0].upper() + row.says[1:]
    return f"{says} {_digits(number.value, row.unit)}{unit}{doubt}{origin}."


def _digits(value: float, unit: str) -> str:
    """Return a number in the digits that matter.

    >>> _digits(-46.60611234, "deg"), _digits(200000.0, ""), _digits(0.0785398, "")
    ('-46.60611', '200000', '0.07854')
    """
    if unit == "hz":  # shown in megahertz
        return f"{value / 1e6:.8g}"
    if unit == "deg":
        return f"{round(value, 5):.8g}"
    return f"{value:.4g}" if abs(value) < 1000.0 else f"{value:.0f}"


def _antennas(flight: FlightFile) -> list[str]:
    """Return what the antennas make of the links; a measured one is read when a plan is made.

    The laws bring the compiler along, which takes its time: only antennas wait for it.
    """
    ends = [end for link in flight.sortie.links for end in (link.sender_end, link.receiver_end)]
    paths = [path for end in ends for path in end.pattern_paths]
    known = [
        link
        for link in flight.sortie.links
        if not (link.sender_end.pattern_paths or link.receiver_end.pattern_paths)
    ]
    lines: list[str] = []
    by_the_laws = (
        one.tested is not None or one.surroundings != NO_PLACE or one.rain_mmph > 0.0
        for one in known
    )
    if any(end.says_more for end in ends) or any(by_the_laws):
        from farglide.present.say.antennas import antenna_section
        from farglide.rig.links import antennas_of, gear_of

        lines = antenna_section([antennas_of(gear_of(link)) for link in known])
    return lines + [f"  Pattern from {path}, read when a plan is made" for path in paths]


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
    return f"{hectares:.0f}" if hectares >= 10.0 else f"{hectares:.2g}"


def _notes(flight: FlightFile) -> list[str]:
    missing = missing_notes(flight.path.parent, flight.sortie)
    notes = [note for note in (*flight.notes, flight.wind_note, *missing) if note]
    return ["To note", *(f"  {note}" for note in notes)] if notes else []


def _guess_lines(inputs: tuple[InputLine, ...]) -> Iterator[str]:
    guesses = [line for line in inputs if line.number.tag is Tag.GUESS and not line.row.choice]
    if guesses:
        yield "What is not known (guesses), and what would settle it"
    for line in guesses:
        settle = f": {line.row.settle}" if line.row.settle else ""
        yield f"  {line.section} {line.row.key}{settle}"
