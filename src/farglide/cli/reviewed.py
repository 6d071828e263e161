"""Reviewed: logs and tracks that a command line names, each read, planned anew and handed over."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final, NamedTuple

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import drawn_ensemble
from farglide.cli.export import read_fixes
from farglide.cli.inputs import Wanted, flight_and_pack, refuse_payload
from farglide.compute import on_threads
from farglide.errors import FarglideError, InputError, SourceError
from farglide.flightfile.flightfile import FlightFile, flight_of_text
from farglide.live.flownlog import check_its_flight, flown_of_log, launch_as_was
from farglide.packfile.winds import sounding_of
from farglide.plan.decided import Decided
from farglide.plan.plan import completed, decided_file
from farglide.plan.planned import settled
from farglide.review.flown import Flown, What
from farglide.review.parted import lift_off_t_s
from farglide.review.review import Given
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.sources import PlacesSource
from farglide.sortie.spec import Launch, Sortie
from farglide.track.heights import amsl_m
from farglide.track.journal.reader import is_log, open_log

_COARSE: Final = Grain(n_draws=50, clock_s=60.0, prices_mps=(8.0,), slab=5)
_NO_GEAR: Final = "Give a log of the same gear beside it, or --flight FILE."


class Gear(NamedTuple):
    """A flight file's sortie, its fill solved, and the winds that it was solved in."""

    sortie: Sortie
    sounding: Sounding


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """What came of the files: flights to be reviewed, and which files were left out, and why."""

    given: tuple[Given, ...]
    notes: tuple[str, ...]


def read_all(
    paths: Sequence[Path], flight: Path | None, grain: Grain, tell: Callable[[str], None]
) -> Read:
    """Return the flights of logs and tracks; a file that cannot be read is left out and told.

    A track has the gear of `flight`, else that of the newest log. Raises the first refusal where
    no file is left.
    """
    logs = [one for one in paths if is_log(one)]
    given, notes = list[Given](), list[str]()
    refused: FarglideError | None = None
    for path in [*logs, *(one for one in paths if one not in logs)]:
        tell(f"reviewing {path.name}")
        try:
            _check_kind(path)
            if path in logs:
                given.append(given_of_log(path, grain))
            else:
                given.append(given_of_track(path, _gear(flight, given)))
        except FarglideError as error:
            refused = refused or error
            notes.append(f"Left out: {error}")
    if refused is not None and not given:
        raise refused
    return Read(given=tuple(given), notes=tuple(notes))


def _check_kind(path: Path) -> None:
    """Raise SourceError for what is neither a log nor a track, whatever else is missing."""
    if not path.is_file():
        raise SourceError(str(path), "", "is not there.", "Look at the name of the file.")
    if path.suffix.casefold() == ".toml":
        what = "is a flight file, no log and no track."
        raise SourceError(str(path), "", what, "Name the log, and this with --flight.")


def given_of_log(log: Path, grain: Grain) -> Given:
    """Return the flight of a log, planned anew from the flight file and the winds in its head.

    Raises SourceError, FlightFileError, InputError.
    """
    with open_log(log) as (head, _):
        pass
    flight = without_files(flight_of_text(head.flight, log))
    refuse_payload(flight, "review")
    sounding = _sounding(log, head.winds)
    flown = flown_of_log(log, flight.sortie.feeds)
    launch = _launch(flown, flight.sortie.launch)
    check_its_flight(log, flown, launch)
    flight = replace(flight, sortie=replace(flight.sortie, launch=launch))
    pack = Pack(flight_text=head.flight, sounding=sounding)
    begun = decided_file(flight, pack, grain, on_threads())
    return _given(flown, begun)


def given_of_track(path: Path, gear: Gear | None) -> Given:
    """Return the flight of a track with known gear: without a forecast, so without promises.

    Raises InputError, SourceError.
    """
    if gear is None:
        raise InputError("FILE", f"{path}, a track alone", "a log of a ride", _NO_GEAR)
    fixes, notes = read_fixes(path)
    timed = sorted((one for one in fixes if one.t_s is not None and amsl_m(one) is not None),
                   key=lambda one: one.t_s or 0.0)  # fmt: skip
    if not timed:
        raise SourceError(str(path), "fixes", "hold no time with a height.", "Is it the track?")
    first_m = amsl_m(timed[0]) or 0.0
    off_s = lift_off_t_s(timed, first_m)
    if off_s is None:
        raise SourceError(str(path), "fixes", "show no climb off the ground.", "Is it the track?")
    launch = replace(
        gear.sortie.launch,
        name=path.stem,
        lat_deg=timed[0].lat_deg,
        lon_deg=timed[0].lon_deg,
        amsl_m=first_m,
        t_s=off_s,
    )
    sortie = replace(
        gear.sortie, name=path.stem, launch=launch, fields=(), links=(), stands=(), terrain=None
    )
    flown = Flown(path=str(path), is_log=False, is_finished=True, fixes=tuple(timed), notes=notes)
    planned = drawn_ensemble(sortie, gear.sounding, _COARSE)
    return Given(flown=flown, planned=planned, sounding=gear.sounding, plan=None)


def without_files(flight: FlightFile) -> FlightFile:
    """Return a flight without what stood in files beside it, which no log holds; each is noted.

    Links whose antenna was measured into a file are left out, as are fields and barriers of files.
    """
    sortie, notes = flight.sortie, list(flight.notes)
    read = [
        one for one in sortie.links if _is_known(one.sender_end) and _is_known(one.receiver_end)
    ]
    if len(read) < len(sortie.links):
        notes.append("Links whose antenna stands in a file are left out: the log does not hold it.")
    if sortie.places.paths or sortie.places.barriers:
        notes.append("Fields and barriers of files are left out: the log does not hold them.")
    sortie = replace(sortie, links=tuple(read), places=PlacesSource())
    return replace(flight, sortie=sortie, notes=tuple(notes))


def _is_known(end: object) -> bool:
    return not getattr(end, "pattern_paths", ()) or getattr(end, "antenna", None) is not None


def _given(flown: Flown, begun: Decided) -> Given:
    drawn = begun.found.case.drawn
    return Given(flown=flown, planned=drawn, sounding=drawn.air.sounding, plan=completed(begun))


def _launch(flown: Flown, planned: Launch) -> Launch:
    """Return the launch as it was: as marked or typed, else when the fixes leave the ground."""
    launch = launch_as_was(flown, planned)
    if flown.first(What.LAUNCHED) is not None or launch.t_s != planned.t_s:
        return launch
    off_s = lift_off_t_s(flown.fixes, planned.amsl_m)
    return launch if off_s is None else replace(launch, t_s=off_s)


def _sounding(log: Path, text: str) -> Sounding:
    try:
        return sounding_of(text)
    except (KeyError, TypeError, ValueError, OverflowError) as error:
        what = f"cannot be read ({error}): nothing can be planned anew."
        raise SourceError(str(log), "winds", what, "Bring its track in: farglide export.") from None


def _gear(file: Path | None, given: Sequence[Given]) -> Gear | None:
    if file is not None:
        flight, pack = flight_and_pack(Wanted(file=file, winds=None, pack=None, out=None))
        return Gear(settled(flight, pack).sortie, pack.sounding)
    planned = [one for one in given if one.plan is not None]
    if not planned:
        return None
    newest = max(planned, key=lambda one: one.planned.sortie.launch.t_s)
    return Gear(newest.planned.sortie, newest.sounding)
