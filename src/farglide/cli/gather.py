"""farglide gather: from a flight file and what it names to a pack that opens with no other file."""

from pathlib import Path

from farglide.cli.inputs import gather_pack
from farglide.flightfile.flightfile import read_flight_file
from farglide.gather.gather import gather_patterns, gather_places
from farglide.gather.launching import check_launch_places
from farglide.gather.packing import check_packing, pack_into
from farglide.rig.winds import wind_words


def gather_into(file: Path, winds: Path | None, folder: Path) -> str:
    """Read a flight file and its winds into a pack folder; return what was gathered."""
    flight = read_flight_file(file)
    check_packing(flight, folder)  # and the rest too while it can be put right
    gathered = gather_patterns(gather_places(flight))
    pack = gather_pack(flight, winds)
    check_launch_places(gathered, pack.terrain)
    is_replaced = folder.is_dir() and any(folder.iterdir())
    copies = pack_into(flight, pack, folder)
    top_km = pack.sounding.top_gph_m / 1000.0
    lines = [
        f"{folder}: {flight.sortie.name}",
        f"  {pack.sounding.origin}, {len(pack.sounding.p_pa)} levels to {top_km:.1f} km",
        *(f"  {note}" for note in pack.sounding.notes),
        *(f"  {copy.source.name}, {copy.what}" for copy in copies),
    ]
    if is_replaced:
        lines.append("  takes the place of the pack that was there")
    lines.append(f"  {wind_words(flight.sortie, pack.sounding)}")
    return "\n".join([*lines, f"Plan it with: farglide plan --pack {folder}"])
