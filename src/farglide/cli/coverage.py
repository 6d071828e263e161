"""farglide coverage: from a flight file or a pack to where one link holds round one stand."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from farglide.cli.outfiles import check_out, write_texts
from farglide.compute import on_threads
from farglide.errors import InputError, check_range
from farglide.flightfile.flightfile import read_flight_file
from farglide.gather.gather import gather_patch, gather_patterns, gather_places
from farglide.kernel_store import is_warm
from farglide.outlook.coverage import CoverageAsked
from farglide.packfile import flight_path, open_pack
from farglide.plan.links.coverage import cover, patch_of
from farglide.present.draw.maps.coverage_layer import coverage_geojson
from farglide.present.draw.maps.coverage_map import coverage_png
from farglide.present.say.links.coverage import coverage_lines
from farglide.sim.hear.coverage import FARTHEST_M, NEAREST_M, TOP_AGL_M, Level
from farglide.sim.hear.ears import TOP_M

_PICTURE: Final = "coverage.png"
_LAYER: Final = "coverage.geojson"


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageWanted:
    """What the command line asked for."""

    file: Path | None
    link: str
    stand: str
    height_km: float | None
    above_ground_m: float | None
    less_db: float
    radius_km: float
    out: Path | None
    pack: Path | None = None


def coverage_text(wanted: CoverageWanted, progress: Callable[[str], None]) -> str:
    """Return how far a link holds, and write picture and layer where asked for."""
    asked = _checked_asked(wanted)
    check_out(wanted.out)
    sortie = gather_patterns(gather_places(read_flight_file(_flight_file(wanted)))).sortie
    patch = patch_of(sortie, asked)
    progress("reading the ground")
    terrain = gather_patch(sortie, patch)
    once = "" if is_warm() else ", and compiling what that needs, once: up to 10 s"
    progress(f"looking round the stand{once}")
    found = cover(sortie, asked, terrain, on_threads())
    lines = coverage_lines(found)
    if wanted.out is not None:
        write_texts({_PICTURE: coverage_png(found), _LAYER: coverage_geojson(found)}, wanted.out)
        lines += ["", f"Picture: {wanted.out / _PICTURE}", f"Layer: {wanted.out / _LAYER}"]
    return "\n".join(lines)


def _flight_file(wanted: CoverageWanted) -> Path:
    """Return the flight file that is named, else that of the pack."""
    if wanted.pack is not None:
        open_pack(wanted.pack)  # to refuse a folder that is none; no winds are needed
    if wanted.file is not None:
        return wanted.file
    if wanted.pack is None:
        raise InputError("FILE", "missing", "a flight file, or --pack DIR", "See farglide new.")
    return flight_path(wanted.pack)


def _checked_asked(wanted: CoverageWanted) -> CoverageAsked:
    """Return what is asked for, with refusals that name the options of the command line."""
    height_km, above_m = wanted.height_km, wanted.above_ground_m
    if (height_km is None) == (above_m is None):
        given = "missing" if height_km is None else "given with --above-ground-m"
        raise InputError("--height-km", given, "one of --height-km and --above-ground-m")
    if height_km is not None:
        remedy = "Kilometres above sea level."
        check_range("--height-km", height_km, "km", (0.0, TOP_M / 1000.0), remedy)
        level = Level(amsl_m=1000.0 * height_km)
    else:
        remedy = "Metres above the ground below the glider."
        check_range("--above-ground-m", above_m or 0.0, "m", (0.0, TOP_AGL_M), remedy)
        level = Level(agl_m=above_m)
    reach_km = NEAREST_M / 1000.0, FARTHEST_M / 1000.0
    check_range("--radius-km", wanted.radius_km, "km", reach_km, "Kilometres round the stand.")
    check_range("--less-db", wanted.less_db, "dB", (0.0, 60.0), "A loss is above 0.")
    return CoverageAsked(
        link=wanted.link,
        stand=wanted.stand,
        level=level,
        less_db=wanted.less_db,
        radius_m=1000.0 * wanted.radius_km,
    )
