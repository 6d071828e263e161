"""Entered: a parsed flight file read into entries, section by section, every problem noted."""

import difflib
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from farglide.errors import Problem
from farglide.flightfile.entries import Document, Entries, Entry, Section
from farglide.flightfile.reading.lists import read_names, read_pairs, with_clock_words
from farglide.flightfile.reading.meant import as_path, tidy
from farglide.flightfile.reading.reader import MOST_STRANGE, Reader

MOST_ENTRIES: Final = 500
"""Of one kind in a file: nobody prepares more fields, and each is held against all others."""


def read_entries(
    document: Document, sections: Sequence[Section], problems: list[Problem]
) -> Entries:
    """Return what a parsed flight file says; every problem met is added to `problems`."""
    every = list(dict.fromkeys(one.name.partition(".")[0] for one in sections))
    _refuse_strange_sections(document, every, problems)
    elsewhere = _places_of_keys(sections)
    found: dict[str, list[Entry]] = {}
    for section in sections:
        found[section.name] = []
        for i, reader in enumerate(_readers(document, section, problems), start=1):
            found[section.name].append(_read_entry(reader, section, i))
            reader.finish(elsewhere)
    return Entries(found)


def _refuse_strange_sections(
    document: Document, every: Sequence[str], problems: list[Problem]
) -> None:
    strange = [name for name in document if name not in every]
    for name in strange[:MOST_STRANGE]:
        near = difflib.get_close_matches(name, every, n=1)
        what = "is not a section of a flight file."
        remedy = f"Did you mean {near[0]}?" if near else f"Sections: {', '.join(every)}."
        problems.append(Problem(f"[{tidy(name).strip(chr(34))}]", what, remedy))
    if len(strange) > MOST_STRANGE:
        what = f"has {len(strange) - MOST_STRANGE} more sections that are none of a flight file."
        problems.append(Problem("the file", what, "Is it one?"))


def _places_of_keys(sections: Sequence[Section]) -> dict[str, str]:
    """Return the section of each key that only one section has."""
    places: dict[str, set[str]] = {}
    for section in sections:
        for key in (key for one in section.rows for key in one.keys):
            places.setdefault(key, set()).add(f"[{section.name}]")
    return {key: min(found) for key, found in places.items() if len(found) == 1}


def _readers(document: Document, section: Section, problems: list[Problem]) -> Iterator[Reader]:
    """Yield a reader for each table of a section: for one that stands once, always one."""
    outer, _, name = section.name.rpartition(".")
    within = document.get(outer, {}) if outer else document
    found = within.get(name) if isinstance(within, Mapping) else None
    if not section.noun:
        if found is not None and not isinstance(found, dict):
            remedy = f"Write {section.title} on a line of its own and the keys below it."
            problems.append(Problem(section.title, "is not a section.", remedy))
        yield Reader(section.title, found if isinstance(found, dict) else {}, problems)
        return
    rows = [] if found is None else found
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        remedy = f"Write {section.title}, in double brackets, above each one."
        problems.append(Problem(section.title, "is not a list of sections.", remedy))
        return
    if len(rows) > MOST_ENTRIES:
        what = f"stands {len(rows)} times; allowed: up to {MOST_ENTRIES}."
        problems.append(Problem(section.title, what, "Take out what this flight does not need."))
        return
    for i, row in enumerate(rows, start=1):
        spelt = section.spell(with_clock_words(row, section.clock))
        yield Reader(f"{section.title} {i}", spelt, problems)


def _read_entry(reader: Reader, section: Section, i: int) -> Entry:
    texts = {key: reader.text(key) for key in section.texts}
    texts |= {
        key: reader.choice(key, *choice, section.misread(key, reader.table))
        for key, choice in section.choices.items()
    }
    for key in (key for key in texts if key == "file" or key.endswith("_file")):
        texts[key] = as_path(texts[key])
    if "name" in texts and _is_blank(reader.table.get("name")):
        reader.refuse("name", "is empty.", 'Write name = "...", or take the line out.')
    entry = Entry(
        title=reader.title,
        name=" ".join(texts.pop("name", "").split()) or f"{section.noun} {i}" * bool(section.noun),
        numbers=reader.numbers(section.rows) if section.rows or section.noun else {},
        texts=texts,
        lists={key: read_names(reader, key) for key in section.lists},
        tables={
            one.key: pairs
            for one in section.tables
            if (pairs := read_pairs(reader, one)) is not None
        },
        counts={key: reader.count(key) for key in section.counts},
    )
    if section.finish is not None:
        section.finish(reader, entry)
    return entry


def _is_blank(value: object) -> bool:
    return isinstance(value, str) and not value.strip()
