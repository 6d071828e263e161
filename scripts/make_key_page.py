"""Writes docs/flight-file.rst: every key of a flight file, out of the tables that check it."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Final

from farglide.flightfile.entries import Section
from farglide.flightfile.flightfile import EVERY
from farglide.flightfile.reading.endings import si_value, unit_text
from farglide.flightfile.reading.keys import Quantity
from farglide.flightfile.standins import MEAN_ASCENT_MPS

PAGE: Final = Path(__file__).parents[1] / "docs" / "flight-file.rst"

HEAD: Final = f"""\
.. Written by scripts/make_key_page.py out of the tables that check the file: edit those.

The flight file
===============

One TOML file states one flight. ``farglide new`` writes one to fill in, ``farglide check`` says
what it means and what in it is a guess, or everything that is wrong with it in one go.

**Keys end in their unit.** Where several endings are given, take one of them: ``mass_g = 680``
and ``mass_kg = 0.68`` are the same. *agl* is above the ground, *amsl* above mean sea level,
*eas* equivalent airspeed, *ratio* a share of 1. Longitudes are positive to the east, latitudes
to the north.

**What is left out** becomes the default below, tagged *guess* or *typical* with a spread to
match; ``farglide plan`` lists the guesses by the minutes they move the release-by time. Keys
marked *choice* are decisions of the crew and have no spread. Where the default reads "follows",
the number is computed from the others.

**Doubt.** A key with a spread in the last column may have its standard deviation stated beside
it, as a share or in its own unit: ``burst_diameter_spread_ratio = 0.06``, ``neck_lift_spread_g
= 25``. Else the spread follows from where the number comes from: the three figures are those
for a measured, a typical and a guessed number, as shares of the value unless a unit stands with
them.

**Origin.** What the file states counts as measured. If it is not, name it in the section's own
list: ``guesses = ["burst_diameter"]`` or ``typical = ["drag_factor"]``; a key of a list is the
number's name with or without its unit.

**Fill.** Of ``neck_lift``, ``mean_ascent`` and ``burst_height_amsl`` at most two may be stated,
and the rest is computed; two that cannot hold together are refused with the reason. With none
of the three, a mean climb of {MEAN_ASCENT_MPS:g} m/s stands in.
"""


def page_text() -> str:
    """Return the whole page."""
    return "\n".join([HEAD, *map(_section, EVERY)])


def _section(section: Section) -> str:
    lines = [section.title, "-" * len(section.title), ""]
    if section.about:
        lines += [section.about, ""]
    if section.words:
        lines += [*_text_rows(section.words), ""]
    if section.rows:
        lines += [*_number_rows(section.rows), ""]
    return "\n".join(lines)


def _text_rows(words: Mapping[str, str]) -> Iterator[str]:
    yield from (".. list-table::", "   :header-rows: 1", "   :width: 100%", "   :widths: 25 75", "")
    yield from ("   * - key", "     - meaning")
    for key, meaning in words.items():
        yield from (f"   * - ``{key}``", f"     - {meaning}")


def _number_rows(quantities: Sequence[Quantity]) -> Iterator[str]:
    yield from (".. list-table::", "   :header-rows: 1", "   :widths: 26 34 16 12 12", "")
    yield from (
        "   * - key",
        "     - meaning",
        "     - allowed",
        "     - left out",
        "     - spread",
    )
    for one in quantities:
        yield f"   * - {' or '.join(f'``{key}``' for key in one.keys)}"
        low, high = (_number(end, one) for end in one.span)
        yield f"     - {_meaning(one)}"
        yield f"     - {low} to {high}{_unit(one)}"
        yield f"     - {_default(one)}"
        yield f"     - {_spread(one)}"


def _meaning(one: Quantity) -> str:
    settle = f" *To settle it:* {one.settle}." if one.settle else ""
    return f"{one.says} …{settle}"


def _default(one: Quantity) -> str:
    if one.required:
        return "**required**"
    kind = "choice" if one.choice else one.tag.value
    if one.default is None:
        return "choice, follows" if one.choice else "follows"
    return f"{_number(one.default, one)}{_unit(one)}, {kind}"


def _spread(one: Quantity) -> str:
    doubt = one.doubt
    if doubt is None:
        return "none"
    unit = _unit(one) if doubt.absolute else ""
    return f"{doubt.measured:g} / {doubt.typical:g} / {doubt.guess:g}{unit}"


def _number(value: float, one: Quantity) -> str:
    return f"{value / si_value(1.0, next(iter(one.units.values()))):g}"


def _unit(one: Quantity) -> str:
    return unit_text(one.unit)


if __name__ == "__main__":
    PAGE.write_text(page_text(), encoding="utf-8")
