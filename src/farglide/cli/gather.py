"""farglide gather: from a flight file and what it names to a pack that opens with no other file."""

from dataclasses import replace
from pathlib import Path

from farglide.cli.fetch import Brought, Choice, bring_terrain, bring_winds
from farglide.cli.inputs import gather_pack
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile, read_flight_file
from farglide.gather.accept import accepted
from farglide.gather.forecast import gather_forecast
from farglide.gather.gather import gather_patterns, gather_places, gather_terrain
from farglide.gather.launching import check_launch_places
from farglide.gather.packing import check_packing, pack_into
from farglide.rig.winds import wind_words
from farglide.sortie.pack import Pack


def gather_into(file: Path, winds: Path | None, folder: Path | None, choice: Choice) -> str:
    """Read a flight file and its winds into a pack folder; return what was gathered.

    Winds that neither the command line nor the flight file names are fetched.
    """
    if folder is None:
        raise InputError(
            "--pack", "missing", "the folder to gather into", "Only --show needs none."
        )
    if choice.fetched is not None and choice.fetched.resolve().is_relative_to(folder.resolve()):
        remedy = "A pack holds nothing but its own: name one outside."
        raise InputError("--fetched", choice.fetched, "a folder outside that of the pack", remedy)
    flight = read_flight_file(file)
    check_packing(flight, folder)  # and the rest too while it can be put right
    gathered = gather_patterns(gather_places(flight))
    brought = _brought(flight, winds, choice)
    pack = _pack(flight, winds, brought)
    check_launch_places(gathered, pack.terrain)
    is_replaced = folder.is_dir() and any(folder.iterdir())
    copies = pack_into(flight, pack, folder, brought.origins if brought else None)
    top_km = pack.sounding.top_gph_m / 1000.0
    lines = [
        f"{folder}: {flight.sortie.name}",
        f"  {pack.sounding.origin}, {len(pack.sounding.p_pa)} levels to {top_km:.1f} km",
        *(f"  {note}" for note in pack.sounding.notes),
        *(brought.lines if brought else ()),
        *(bring_terrain(flight.sortie, choice) if choice.terrain else ()),
        *(f"  {copy.source.name}, {copy.what}" for copy in copies),
    ]
    if is_replaced:
        lines.append("  takes the place of the pack that was there")
    lines.append(f"  {wind_words(flight.sortie, pack.sounding)}")
    return "\n".join([*lines, f"Plan it with: farglide plan --pack {folder}"])


def _brought(flight: FlightFile, winds: Path | None, choice: Choice) -> Brought | None:
    """Return what was fetched, None where the winds come from a file."""
    if winds is None and flight.sortie.wind is None:
        return bring_winds(flight.sortie, choice)
    if choice.is_stated:
        named = "on the command line" if winds else "under [wind] in the flight file"
        remedy = "--days, --members and --grid-deg are for winds that are fetched."
        raise InputError("the file of winds", f"named {named}", "none", remedy)
    return None


def _pack(flight: FlightFile, winds: Path | None, brought: Brought | None) -> Pack:
    if brought is None:
        return gather_pack(flight, winds)
    air = gather_forecast(flight.sortie, brought.files)
    text = flight.path.read_bytes().decode("utf-8")  # word for word, its line ends too
    pack = accepted(flight.sortie, air, str(brought.files.winds[0].parent), text)
    return replace(pack, terrain=gather_terrain(flight.sortie))
