"""Writes docs/flight-file.rst: every key of a flight file, out of the tables that check it."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from farglide.atlas.barriers import BARRIER_KINDS
from farglide.flightfile.reading.endings import si_value, unit_text
from farglide.flightfile.reading.keys import Quantity
from farglide.flightfile.sections import keytable
from farglide.flightfile.sections.drop import COUNTS
from farglide.flightfile.sections.flight import PERMISSION_STATES, PERMISSIONS
from farglide.flightfile.standins import DRAG_TABLE, MEAN_ASCENT_MPS
from farglide.sortie.antennas import ANTENNAS, POINTINGS, POLARISATIONS, SURROUNDINGS

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


def _choices(words: Sequence[str]) -> str:
    return ", ".join(f'``"{word}"``' for word in words)


def _end_words(end: str, side: str) -> tuple[tuple[str, str], ...]:
    return (
        (f"{end}_antenna", f"on {side}: {_choices(ANTENNAS)}; else only its gain counts, the same "
         "in every direction. A gain more than 3 dB off that of its formula is asked about. Left "
         "out: turns of a helix one wavelength round and 0.236 of that apart; metal without end "
         "below a quarter wave; one beamwidth as the other, or both as the gain has them; a "
         "turnstile even out to 90°, a lobed one to 180°"),
        (f"{end}_pointing", "where its axis points, the wire of an upright antenna, the boresight "
         f"of a beam: {_choices(POINTINGS[1:])}. Aimed is by hand or tracker from the ground. Left "
         "out: a beam on the ground is aimed, a turnstile or lobed one on the glider points down, "
         "the others up"),
        (f"{end}_polarisation", f"{_choices(POLARISATIONS[1:])}; state both ends or none"),
        (f"{end}_pattern_file", "of a measured antenna: a CSV file beside the flight file with the "
         "columns ``angle_deg`` off the axis and ``gain_dbi``, five rows or more, no hole wider "
         "than 30°; 0 to 180 stands for both sides"),
        (f"{end}_pattern_upright_file", "of one measured in two planes, that from bottom to top; "
         f"``{end}_pattern_file`` is then that from side to side"),
    )  # fmt: skip


_END_WORDS: Final = (
    *_end_words("sender", "the transmitter, aboard unless it sends commands"),
    *_end_words("receiver", "the receiver, aboard if it hears commands"),
)

WORDS: Final[dict[str, tuple[tuple[str, str], ...]]] = {
    "flight": (
        ("name", "what the flight is called; else the name of the file"),
        ("launch_at", "**required.** Date, time and offset from UTC, without quotes: "
         "``2027-06-15T09:30:00+02:00``"),
        ("zone", 'zone of the printed times, a name such as ``"Europe/Vienna"`` or '
         '``"UTC+02:00"``; else the offset of ``launch_at``'),
    ),
    "launch": (("name", "the launch place"),),
    "balloon": (
        ("gas", '**required.** ``"helium"`` or ``"hydrogen"``'),
        ("drag_table", "pairs of Reynolds number (1 to 1e8, rising) and drag coefficient (0.05 to "
         "2), in place of ``drag_coefficient``; with neither, the usual curve of rubber balloons "
         f"from {DRAG_TABLE[0][1]:g} at {DRAG_TABLE[0][0]:.0f} down to {DRAG_TABLE[-1][1]:g} "
         f"at {DRAG_TABLE[-1][0]:.0f}"),
    ),
    "glider": (
        ("timed_glides", "a list of ``[[glider.timed_glides]]``, see below: the polar is fitted "
         "to them"),
    ),
    "packs": (
        ("name", "what the pack feeds"),
        ("cold_table", "pairs of Celsius (-70 to 75, rising) and share of the energy left (0 to "
         "1.2), from the crew's own cells: with ``cells`` and ``insulation`` in place of ``cold``. "
         "``cold_spread_ratio`` is then its spread, 0.05 left out"),
    ),
    "fields": (
        ("name", "the field's name; no two alike"),
        ("role", "in a few words, for the brief"),
        ("surface", "in a few words, for the brief"),
        ("obstacles", "trees, wires, fences: in a few words"),
        ("owner", "what the owner said, in a few words; ask before the flight"),
        ("last_light", "when the ground there gets too dark to see: a local time without quotes, "
         "``20:10:00``, or words; shown, not reckoned with"),
        ("outline", "corners as ``[[lat, lon], ...]``, three or more in order round the field; "
         "the field's own point lies inside"),
    ),
    "links": (
        ("name", "the link's name; no two alike"),
        ("purpose", '**required.** ``"command"``, ``"picture"`` or ``"position"``'),
        ("kind", '``"analogue"``, which fades, or ``"digital"``, which freezes; else analogue'),
        *_END_WORDS,
        ("surroundings", "of the receiver, near the ground, for the noise it hears besides its "
         f"own: {_choices(SURROUNDINGS)}; else none. With ``noise_figure`` only; to 250 MHz, in "
         "a city to 900 MHz"),
        ("needs", "a list of parts without which the link is lost; ``\"pack all\"`` is the pack of "
         "that name"),
    ),
    "stands": (("name", "the stand's name; no two alike"),),
    "triggers": (
        ("name", "the trigger's name; no two alike"),
        ("needs", "a list of parts without which it does not release; ``\"link command\"`` stands "
         "for all that this link needs"),
        ("n_tests", "how often it was tried, failed ones too"),
        ("n_failures", "how many of them failed"),
    ),
    "parts": (
        ("name", "the part, as a list of needs names it; no two alike"),
        ("at", '``"aboard"``, not to be mended after the launch, or ``"ground"``; else aboard'),
    ),
    "barriers": (
        ("name", "the barrier's name; no two alike"),
        ("kind", ", ".join(f'``"{kind}"``' for kind in BARRIER_KINDS)
         + '; else ``"no landing"``'),
        ("note", "in a few words"),
        ("outline", "corners as ``[[lat, lon], ...]``, three or more in order round the area, not "
         "crossing themselves; straight in degrees between two corners"),
        ("file", "in place of ``outline``: a GeoJSON, KML or GPX file whose areas are all this "
         "barrier"),
    ),
    "places": (
        ("files", "**required** in this section. A list of GeoJSON, KML or GPX files beside the "
         "flight file; see :doc:`places`"),
    ),
    "terrain": (
        ("files", "**required** in this section. A list of GeoTIFF (EPSG:4326) or SRTM ``.hgt`` "
         "files beside the flight file"),
    ),
    "wind": (
        ("file", "**required** in this section. The file of winds, beside the flight file; see "
         ":doc:`winds`"),
    ),
    "permissions": tuple(
        (key, f"{what}; one of "
         + ", ".join(f'``"{state}"``' for state in PERMISSION_STATES)
         + '; left out: ``"missing"``')
        for key, what in zip(
            PERMISSIONS,
            (
                "the balloon in this airspace",
                "the glider out of sight after the release",
                "the radio that commands, in the air and on the ground",
                "the radio that sends the picture, in the air",
                "the land of launch and fields",
            ),
            strict=True,
        )
    ),
    "crew": tuple(
        zip(
            COUNTS,
            (
                "releases tried so far, in tests and flights, failed ones too",
                "how many of them failed",
                "pull-outs flown so far, failed ones too",
                "how many of them failed",
            ),
            strict=True,
        )
    ),
}  # fmt: skip

TITLES: Final = {
    "flight": ("[flight]", ""),
    "launch": ("[launch]", "Where the balloon leaves the hand."),
    "balloon": ("[balloon]", "The latex balloon and its fill."),
    "train": ("[train]", "What hangs between balloon and glider."),
    "glider": ("[glider]", "Any two of area, span, chord and aspect ratio set the wing."),
    "glider.timed_glides": (
        "[[glider.timed_glides]]",
        "Glides timed in calm air at low height, three or more at different speeds; each with its "
        "airspeed or with its way over the ground.",
    ),
    "drop": ("[drop]", "From the drop to steady flight."),
    "packs": (
        "[[packs]]",
        "One section for each battery pack; the first to end binds. What the cold leaves of it is "
        "one share, ``cold``, or follows from a box: cells, insulation and a ``cold_table``. In a "
        "box the cells cool and warm along a reference flight (the climb without errors to its "
        "burst, then best glide down), and a watt-second drawn while only a share is left counts "
        "for 1 / share.",
    ),
    "fields": (
        "[[fields]]",
        "One section for each place prepared to land on; the first is home, the others follow in "
        "the order of preference.",
    ),
    "links": (
        "[[links]]",
        "One section for each radio way. Its threshold is stated in one of three ways: noise "
        "figure and needed carrier to noise, a sensitivity, or a range once just reached in sight, "
        "both ends level and whole. Its sender is stated by power, loss and gain, or by its EIRP. "
        "With the antenna of an end, its pattern counts by elevation, the median over "
        "headings and over the sides to which a ``swing`` leans it; an aimed one loses the mean of "
        "its aim; polarisation the mean over all rolls, or over the glider's ``swing`` where it is "
        "stated. How far all that spreads is added to the doubt, as squares. "
        "With heat (or efficiency), area and mass of its case, it is told how warm the transmitter "
        "gets.",
    ),
    "stands": (
        "[[stands]]",
        "One section for each place from which the crew listens and commands.",
    ),
    "triggers": (
        "[[triggers]]",
        "One section for each way to release: by command, by a detector of falling, by a clock.",
    ),
    "parts": (
        "[[parts]]",
        "One section for each part of which the crew knows more than its name.",
    ),
    "terrain": (
        "[terrain]",
        "Heights of the ground, for the sight of the links; without it the ground is taken as "
        "flat, and said so.",
    ),
    "barriers": (
        "[[barriers]]",
        "One section for each area where nothing can land or be fetched: the heights from which "
        "it can be crossed are told by ``farglide fields``.",
    ),
    "places": (
        "[places]",
        "More fields, barriers, roads, rails, wires and houses. Fields of the files follow those "
        "of the flight file; with none there, the first of them is home.",
    ),
    "doubt": ("[doubt]", "Standard deviations of the air and of the climb."),
    "wish": ("[wish]", "What the crew wants of the flight."),
    "wind": ("[wind]", "Which winds, and how old or distant they may be."),
    "permissions": (
        "[permissions]",
        "What is held and what is missing. Nothing is judged here; a missing one is printed.",
    ),
    "crew": ("[crew]", "How fast, and with what record."),
}


def page_text() -> str:
    """Return the whole page."""
    return "\n".join([HEAD, *(_section(name) for name in TITLES)])


def _section(name: str) -> str:
    title, words = TITLES[name]
    lines = [title, "-" * len(title), ""]
    if words:
        lines += [words, ""]
    if name in WORDS:
        lines += [*_text_rows(WORDS[name]), ""]
    if keytable.SECTIONS.get(name):
        lines += [*_number_rows(keytable.SECTIONS[name]), ""]
    return "\n".join(lines)


def _text_rows(rows: Sequence[tuple[str, str]]) -> Iterator[str]:
    yield from (".. list-table::", "   :header-rows: 1", "   :width: 100%", "   :widths: 25 75", "")
    yield from ("   * - key", "     - meaning")
    for key, meaning in rows:
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
        yield f"     - {_meaning(one)}"
        yield f"     - {_number(one.low, one)} to {_number(one.high, one)}{_unit(one)}"
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
    return unit_text(next(iter(one.units)))


if __name__ == "__main__":
    PAGE.write_text(page_text(), encoding="utf-8")
