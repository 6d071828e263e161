"""Checked: a flight file tried out as a plan would, all that is refused on the way in one go."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from farglide.air.sounding import Sounding
from farglide.atlas.terrain import Terrain
from farglide.errors import (
    ContradictionError,
    FarglideError,
    FlightFileError,
    InputError,
    Problem,
    SourceError,
    with_unit,
)
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.accept import accepted
from farglide.gather.gather import gather_patterns, gather_places, gather_terrain, gather_winds
from farglide.gather.launching import check_launch_places
from farglide.outlook.preview import Preview
from farglide.plan.fill import with_solved_fill
from farglide.plan.preview import preview, still_air, with_fitted_lines
from farglide.plan.sortienotes import sortie_notes
from farglide.plan.suspicions import launch_away, suspicions, untold
from farglide.rig.listening import check_grounds
from farglide.sortie.pack import Pack

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """A flight that a plan would take, what it comes to, and what to look at."""

    flight: FlightFile
    preview: Preview
    notes: tuple[str, ...]


def checked(flight: FlightFile, now_t_s: float | None = None) -> Checked:
    """Return a flight after everything was read that it names and that is there.

    `now_t_s`: of the clock, to tell a launch that is years away. Raises FlightFileError with all
    that a plan would refuse.
    """
    problems: list[Problem] = []
    flight = _tried(problems, flight, lambda: gather_places(flight), _places(flight))
    flight = _tried(problems, flight, lambda: gather_patterns(flight), _patterns(flight))
    terrain = _terrain(flight, problems)
    sounding = _winds(flight, problems)
    air = sounding or still_air(flight.sortie.launch)
    filled = _tried(problems, flight, lambda: with_solved_fill(flight, air), ())
    found = _tried(problems, None, lambda: preview(filled.sortie, air), ())
    if problems or found is None:
        raise FlightFileError(str(flight.path), tuple(problems))
    pack = Pack(sounding=air, terrain=terrain)
    told = [*sortie_notes(flight.sortie), *suspicions(flight.sortie, pack)]
    told += launch_away(flight.sortie.launch, now_t_s) if now_t_s is not None else ()
    notes = untold(told, filled.notes)
    return Checked(flight=with_fitted_lines(flight, filled), preview=found, notes=notes)


def _terrain(flight: FlightFile, problems: list[Problem]) -> Terrain | None:
    source = flight.sortie.terrain
    paths = source.paths if source else ()
    terrain = _tried(problems, None, lambda: gather_terrain(flight.sortie), paths)
    _tried(problems, None, lambda: check_launch_places(flight, terrain), ())
    _tried(problems, None, lambda: check_grounds(flight.sortie, terrain), ())
    return terrain


def _winds(flight: FlightFile, problems: list[Problem]) -> Sounding | None:
    """Return the winds that the file names, None where they are not there yet or not usable."""
    sortie = flight.sortie
    if sortie.wind is None:
        return None
    path = Path(sortie.wind.path)

    def read() -> Sounding:
        return accepted(sortie, gather_winds(sortie, path), str(path)).sounding

    return _tried(problems, None, read, (str(path),))


def _places(flight: FlightFile) -> tuple[str, ...]:
    source = flight.sortie.places
    return (*source.paths, *(one.path for one in source.barriers))


def _patterns(flight: FlightFile) -> tuple[str, ...]:
    ends = [end for link in flight.sortie.links for end in (link.sender_end, link.receiver_end)]
    return tuple(path for end in ends for path in end.pattern_paths)


def _tried(
    problems: list[Problem], otherwise: T, step: Callable[[], T], paths: tuple[str, ...]
) -> T:
    """Return what a step returns; where its files are not there yet, or it refuses, `otherwise`."""
    if not all(Path(path).is_file() for path in paths):
        return otherwise  # told among the notes
    try:
        return step()
    except FarglideError as error:
        problems += _problems(error)
        return otherwise


def _problems(error: FarglideError) -> tuple[Problem, ...]:
    """Return what was refused, as of a flight file."""
    match error:
        case FlightFileError():
            return error.problems
        case SourceError():
            place = f"{error.path}, {error.where}" if error.where else error.path
            return (Problem(place, error.what, error.remedy),)
        case InputError():
            told = with_unit(str(error.value), error.unit)
            return (Problem.of_value(error.name, told, error.allowed, error.remedy),)
        case ContradictionError():
            return (Problem("the flight", error.what, error.remedy),)
    return (Problem("the flight", str(error)),)
