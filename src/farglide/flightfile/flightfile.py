"""FlightFile: the TOML file the practitioner writes, checked whole and turned into a Sortie."""

import math
import re
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from farglide.errors import FlightFileError, Problem
from farglide.flightfile.crosscheck import contradictions
from farglide.flightfile.entries import Entry, Sheet, read_sheet
from farglide.flightfile.notes import notes_of, wind_note
from farglide.flightfile.reading.keys import Quantity
from farglide.flightfile.sections import gearkeys, keytable
from farglide.flightfile.sections.heatfile import box_of, fill_heat
from farglide.flightfile.sections.partfile import part_spec, trigger_spec
from farglide.flightfile.sections.placefile import barriers_of, field_of, places_source
from farglide.flightfile.sections.radiofile import fill_radio, link_spec, stand_spec
from farglide.flightfile.standins import MEAN_ASCENT_MPS, Numbers
from farglide.glider.fit import TimedGlide
from farglide.sortie.spec import (
    BalloonSpec,
    DoubtSpec,
    DropSpec,
    GliderSpec,
    Known,
    Launch,
    PackSpec,
    Sortie,
    Tag,
    TerrainSource,
    TrainSpec,
    WindSource,
    Wish,
)

_LARGEST_BYTES: Final = 1_000_000
_LINE_OF: Final = re.compile(r"at line (\d+)")
_COMMA_NUMBER: Final = re.compile(r"=\s*[+-]?\d+,\d")


@dataclass(frozen=True, slots=True, kw_only=True)
class InputLine:
    """One number as understood: a sentence's beginning, the number in SI, and its origin."""

    section: str
    key: str  # as in Sortie.tags, without the section
    says: str
    value: float
    sd: float
    unit: str  # ending of the key
    tag: Tag
    given: bool
    choice: bool  # a decision of the crew: no origin
    settle: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightFile:
    """A flight file that holds together.

    Where `neck_lift_given` is false, `sortie.balloon.neck_lift_kg` is a rough first value only, and
    the fill follows from the stated mean ascent or burst height, of which one at least is there.
    Where `timed_glides` is not empty, the polar in the sortie is a stand-in until it is fitted.
    """

    path: Path
    sortie: Sortie
    inputs: tuple[InputLine, ...]
    neck_lift_given: bool
    stated_mean_ascent_mps: float | None
    stated_burst_amsl_m: float | None
    burst_diameter_given: bool
    drag_given: bool
    glide_factor_given: bool  # or its doubt
    top_eas_given: bool
    timed_glides: tuple[TimedGlide, ...]
    glides_amsl_m: tuple[float, ...]  # middle height of each
    notes: tuple[str, ...]
    wind_note: str  # empty when the winds are there


def read_flight_file(path: Path) -> FlightFile:
    """Return the checked flight of a file.

    Raises FlightFileError with every problem of the file in one go.
    """
    document = _document(path)
    problems: list[Problem] = []
    sheet = read_sheet(document, problems)
    fill_heat(sheet)
    problems += contradictions(sheet)
    if problems:
        raise FlightFileError(str(path), tuple(problems))
    fill_radio(sheet)
    return _flight(path, sheet)


def _document(path: Path) -> dict[str, object]:
    text = _text(path)
    try:
        return tomllib.loads(text)
    except RecursionError:
        problem = Problem("the file", "nests brackets too deeply to be read.", "Take some out.")
    except ValueError as error:
        problem = _syntax_problem(text, str(error))
    raise FlightFileError(str(path), (problem,))


def _text(path: Path) -> str:
    try:
        if path.exists() and not path.is_file() and not path.is_dir():
            what, remedy = "is a device or a pipe, not a file.", "Write it to a file first."
        elif path.stat().st_size > _LARGEST_BYTES:
            what, remedy = "is larger than 1 MB.", "Is that a flight file?"
        else:
            return path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
    except FileNotFoundError:
        what, remedy = "is not there.", f"Write one with: farglide new {path}"
    except UnicodeDecodeError as error:
        what, remedy = f"is no UTF-8 text (byte {error.start}).", "Save it as UTF-8."
    except (OSError, ValueError) as error:
        what, remedy = f"cannot be read: {getattr(error, 'strerror', None) or error}.", ""
    raise FlightFileError(str(path), (Problem("the file", what, remedy),))


def _syntax_problem(text: str, message: str) -> Problem:
    found = _LINE_OF.search(message)
    lines = text.split("\n")
    if not found or int(found[1]) > len(lines):
        return Problem("the file", f"cannot be read: {message}.", "")
    line = lines[int(found[1]) - 1].strip()
    remedy = f'The line reads: "{line[:80]}".'
    if _COMMA_NUMBER.search(line):
        remedy += " Write a decimal point, not a comma."
    return Problem(f"line {found[1]}", f"cannot be read: {message}.", remedy)


def _flight(path: Path, sheet: Sheet) -> FlightFile:
    balloon = sheet.numbers["balloon"]
    neck_given = balloon["neck_lift_kg"].given
    ascent_mps = _stated(balloon, "mean_ascent_mps")
    burst_m = _stated(balloon, "burst_height_amsl_m")
    notes = list(notes_of(sheet))
    if not neck_given and ascent_mps is None and burst_m is None:
        ascent_mps = MEAN_ASCENT_MPS
        balloon["mean_ascent_mps"] = replace(
            balloon["mean_ascent_mps"], value=ascent_mps, tag=Tag.GUESS
        )
        notes.append(f"No fill is stated: a mean climb of {ascent_mps} m/s stands in.")
    inputs = tuple(_inputs(sheet))
    glide_factor = sheet.numbers["glider"]["glide_factor"]
    launch_m = sheet.numbers["launch"]["amsl_m"].value
    return FlightFile(
        path=path,
        sortie=_sortie(path, sheet, inputs),
        inputs=inputs,
        neck_lift_given=neck_given,
        stated_mean_ascent_mps=ascent_mps,
        stated_burst_amsl_m=burst_m,
        burst_diameter_given=balloon["burst_diameter_m"].given,
        drag_given=sheet.drag_given,
        glide_factor_given=glide_factor.given or glide_factor.spread is not None,
        top_eas_given=sheet.numbers["glider"]["top_eas_mps"].given,
        timed_glides=tuple(_timed_glide(one.numbers) for one in sheet.glides),
        glides_amsl_m=tuple(_glide_amsl_m(one.numbers, launch_m) for one in sheet.glides),
        notes=tuple(notes),
        wind_note=wind_note(path, sheet),
    )


def _stated(numbers: Numbers, key: str) -> float | None:
    return numbers[key].value if numbers[key].given else None


def _timed_glide(numbers: Numbers) -> TimedGlide:
    return TimedGlide(
        height_lost_m=numbers["from_agl_m"].value,
        duration_s=numbers["duration_s"].value,
        eas_mps=_stated(numbers, "speed_eas_mps"),
        distance_m=_stated(numbers, "distance_m"),
    )


def _glide_amsl_m(numbers: Numbers, launch_amsl_m: float) -> float:
    """Return the middle height of a timed glide; it was flown over the launch if nothing else."""
    ground_m = _stated(numbers, "ground_amsl_m")
    return (launch_amsl_m if ground_m is None else ground_m) + 0.5 * numbers["from_agl_m"].value


def _inputs(sheet: Sheet) -> Iterator[InputLine]:
    for section, quantities in keytable.SECTIONS.items():
        if section in sheet.numbers and (section != "wind" or sheet.wind_file):
            yield from _lines(section, quantities, sheet.numbers[section])
    for i, one in enumerate(sheet.glides, start=1):
        yield from _lines(f"glider.timed_glides[{i}]", gearkeys.GLIDE, one.numbers)
    for one in sheet.packs:
        yield from _lines(f"packs[{one.name}]", keytable.SECTIONS["packs"], one.numbers)
    for one in sheet.fields:
        yield from _lines(f"fields[{one.name}]", keytable.FIELD, one.numbers)
    for one in sheet.links:
        yield from _lines(f"links[{one.name}]", keytable.SECTIONS["links"], one.numbers)
    for one in sheet.stands:
        yield from _lines(f"stands[{one.name}]", keytable.SECTIONS["stands"], one.numbers)
    for one in sheet.parts:
        yield from _lines(f"parts[{one.name}]", keytable.SECTIONS["parts"], one.numbers)


def _lines(section: str, quantities: Sequence[Quantity], numbers: Numbers) -> Iterator[InputLine]:
    for quantity in quantities:
        stated = numbers[quantity.key]
        if not math.isnan(stated.value):
            yield InputLine(
                section=section,
                key=quantity.key,
                says=quantity.says,
                value=stated.value,
                sd=stated.sd,
                unit=next(iter(quantity.units)),
                tag=stated.tag,
                given=stated.given,
                choice=quantity.choice,
                settle=quantity.settle,
            )


def _sortie(path: Path, sheet: Sheet, inputs: Sequence[InputLine]) -> Sortie:
    launch = sheet.numbers["launch"]
    return Sortie(
        name=sheet.name or path.stem,
        launch=Launch(
            name=sheet.launch_name,
            lat_deg=launch["lat_deg"].value,
            lon_deg=launch["lon_deg"].value,
            amsl_m=launch["amsl_m"].value,
            t_s=sheet.launch_t_s,
            zone=sheet.zone,
        ),
        balloon=_balloon(sheet),
        train=_train(sheet.numbers["train"]),
        glider=_glider(sheet.numbers["glider"]),
        drop=_drop(sheet),
        packs=tuple(_pack(one) for one in sheet.packs),
        fields=tuple(field_of(one) for one in sheet.fields),
        links=tuple(link_spec(one, path.parent) for one in sheet.links),
        stands=tuple(stand_spec(one) for one in sheet.stands),
        triggers=tuple(trigger_spec(one) for one in sheet.triggers),
        parts=tuple(part_spec(one) for one in sheet.parts),
        terrain=_terrain(path, sheet),
        set_up_s=sheet.numbers["crew"]["set_up_s"].value,
        barriers=barriers_of(sheet),
        places=places_source(path, sheet),
        doubt=DoubtSpec(**_plain(sheet.numbers["doubt"])),
        wish=Wish(**_plain(sheet.numbers["wish"])),
        wind=_wind(path, sheet),
        permissions=sheet.permissions,
        tags=_tags(sheet, inputs),
    )


def _tags(sheet: Sheet, inputs: Sequence[InputLine]) -> dict[str, Tag]:
    """Return the origin of every number that has one, by section and key."""
    tags = {f"{one.section}.{one.key}": one.tag for one in inputs if not one.choice}
    factor = sheet.numbers["balloon"]["drag_factor"].tag
    return tags | {"balloon.drag_table": factor if sheet.drag_given else Tag.TYPICAL}


def _plain(numbers: Numbers) -> dict[str, float]:
    return {key: one.value for key, one in numbers.items()}


def _balloon(sheet: Sheet) -> BalloonSpec:
    numbers = sheet.numbers["balloon"]
    return BalloonSpec(
        mass_kg=numbers["mass_kg"].value,
        burst_diameter_m=numbers["burst_diameter_m"].known(),
        gas="hydrogen" if sheet.gas == "hydrogen" else "helium",
        purity_ratio=numbers["purity_ratio"].value,
        neck_lift_kg=_neck_lift(sheet),
        drag_factor=numbers["drag_factor"].known(),
        drag_table=sheet.drag_table,
        gas_warmer_k=numbers["gas_warmer_k"].known(),
        film_stiffness_npm=numbers["film_stiffness_npm"].value,
        leak_ratio_ps=numbers["leak_ratio_ps"].value,
    )


def _neck_lift(sheet: Sheet) -> Known:
    """Return the neck lift; not stated, what hangs and half the balloon: a place to start."""
    balloon = sheet.numbers["balloon"]
    if balloon["neck_lift_kg"].given:
        return balloon["neck_lift_kg"].known()
    hanging_kg = sheet.numbers["glider"]["mass_kg"].value + sheet.numbers["train"]["line_kg"].value
    return Known(value=hanging_kg + 0.5 * balloon["mass_kg"].value, tag=Tag.GUESS)


def _train(numbers: Numbers) -> TrainSpec:
    canopy = _known_or_none(numbers, "canopy_m")
    return TrainSpec(
        line_kg=numbers["line_kg"].value,
        remains_drag_area_m2=numbers["remains_drag_area_m2"].known(),
        canopy_m=canopy.value if canopy else None,
        canopy_drag=numbers["canopy_drag"].value,
    )


def _glider(numbers: Numbers) -> GliderSpec:
    return GliderSpec(
        mass_kg=numbers["mass_kg"].value,
        area_m2=numbers["area_m2"].value,
        chord_m=numbers["chord_m"].value,
        aspect_ratio=numbers["aspect_ratio"].value,
        span_efficiency=numbers["span_efficiency_ratio"].value,
        zero_lift_drag=numbers["zero_lift_drag"].value,
        reference_reynolds=numbers["reference_reynolds"].value,
        reynolds_exponent=numbers["reynolds_exponent"].value,
        lift_max=numbers["lift_max"].value,
        glide_factor=numbers["glide_factor"].known(),
        flown_ratio=numbers["flown_ratio"].value,
        top_eas_mps=numbers["top_eas_mps"].value,
        top_mach=numbers["top_mach"].value,
        gentle_bank_deg=numbers["gentle_bank_deg"].value,
        hands_off_sink_eas_mps=_known_or_none(numbers, "hands_off_sink_eas_mps"),
        spiral_sink_eas_mps=_known_or_none(numbers, "spiral_sink_eas_mps"),
        spin_sink_eas_mps=_known_or_none(numbers, "spin_sink_eas_mps"),
    )


def _known_or_none(numbers: Numbers, key: str) -> Known | None:
    return numbers[key].known() if numbers[key].given else None


def _drop(sheet: Sheet) -> DropSpec:
    drop, crew = sheet.numbers["drop"], sheet.numbers["crew"]
    return DropSpec(
        drop_drag=drop["drop_drag"].known(),
        pull_eas_mps=drop["pull_eas_mps"].value,
        pull_load=drop["pull_load"].value,
        level_angle_deg=drop["level_angle_deg"].value,
        heading_s=drop["heading_s"].known(),
        reaction_s=crew["reaction_s"].known(),
        repeats_s=crew["repeats_s"].value,
        **sheet.counts,
    )


def _pack(one: Entry) -> PackSpec:
    box, ageing = box_of(one), one.numbers["ageing_ratio"]
    return PackSpec(
        name=one.name,
        energy_wh=one.numbers["energy_wh"].known(),
        load_w=one.numbers["load_w"].value,
        cold_ratio=None if box else one.numbers["cold_ratio"].known(),
        on_after_launch_s=one.numbers["on_after_launch_s"].value,
        reserve_s=one.numbers["reserve_s"].value,
        ageing_ratio=ageing.value if ageing.given else 1.0,
        box=box,
    )


def _terrain(path: Path, sheet: Sheet) -> TerrainSource | None:
    if not sheet.terrain_files:
        return None
    files = tuple(str(path.parent / name) for name in sheet.terrain_files)
    return TerrainSource(paths=files, void_amsl_m=_stated(sheet.numbers["terrain"], "void_m"))


def _wind(path: Path, sheet: Sheet) -> WindSource | None:
    if sheet.wind_file is None:
        return None
    numbers = sheet.numbers["wind"]
    return WindSource(
        path=str(path.parent / sheet.wind_file),
        accept_age_h=numbers["accept_age_h"].value,
        accept_distance_km=numbers["accept_distance_km"].value,
    )
