"""farglide coverage: from a flight file or a pack to where one link holds round one stand."""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from farglide.cli.inputs import edited_lines, files_read, named_flight
from farglide.cli.outfiles import check_apart, check_out, write_texts
from farglide.compute import on_threads
from farglide.errors import InputError, check_range
from farglide.gather.gather import gather_circle, gather_patterns, gather_places
from farglide.kernel_store import is_warm
from farglide.outlook.coverage import CoverageAsked
from farglide.packfile.packfile import open_pack
from farglide.plan.links.coverage import cover, ground_circle_of
from farglide.present.draw.maps.coverage_layer import coverage_geojson
from farglide.present.draw.maps.coverage_map import coverage_files
from farglide.present.lines import blocks
from farglide.present.say.links.coverage import coverage_lines
from farglide.sim.hear.ears import TOP_M
from farglide.sim.hear.groundcircle import (
    FARTHEST_M,
    NEAREST_M,
    TOP_AGL_M,
    Level,
)

_LAYER: Final = "coverage.geojson"


def coverage_text(
    asked: CoverageAsked,
    file: Path | None,
    pack: Path | None,
    out: Path | None,
    progress: Callable[[str], None],
) -> str:
    """Return how far a link holds, and write picture and layer where asked for."""
    check_out(out)
    opened = open_pack(pack) if pack is not None else None  # no winds are needed of it
    flight = named_flight(file, pack, opened)
    check_apart(out, files_read(flight))
    sortie = gather_patterns(gather_places(flight)).sortie
    circle = ground_circle_of(sortie, asked)
    progress("reading the ground")
    terrain = gather_circle(sortie, circle)
    once = "" if is_warm() else ", and compiling what that needs, once: up to 10 s"
    progress(f"looking round the stand{once}")
    found = cover(sortie, asked, terrain, on_threads())
    lines = blocks(edited_lines(flight), coverage_lines(found))
    if out is not None:
        pictures = coverage_files(found)
        write_texts({**pictures, _LAYER: coverage_geojson(found)}, out)
        lines += ["", *(f"Picture: {out / name}" for name in pictures), f"Layer: {out / _LAYER}"]
    return "\n".join(lines)


def level_of(height_km: float | None, above_m: float | None) -> Level:
    """Return how high the glider is, with refusals that name the options of the command line."""
    if (height_km is None) == (above_m is None):
        given = "missing" if height_km is None else "given with --above-ground-m"
        raise InputError("--height-km", given, "one of --height-km and --above-ground-m")
    if height_km is not None:
        remedy = "Kilometres above sea level."
        check_range("--height-km", height_km, "km", (0.0, TOP_M / 1000.0), remedy)
        return Level(amsl_m=1000.0 * height_km)
    remedy = "Metres above the ground below the glider."
    check_range("--above-ground-m", above_m or 0.0, "m", (0.0, TOP_AGL_M), remedy)
    return Level(agl_m=above_m)


def coverage_asked(
    level: Level, link: str, stand: str, less_db: float, radius_km: float
) -> CoverageAsked:
    """Return what is asked for, with refusals that name the options of the command line."""
    reach_km = NEAREST_M / 1000.0, FARTHEST_M / 1000.0
    check_range("--radius-km", radius_km, "km", reach_km, "Kilometres round the stand.")
    check_range("--less-db", less_db, "dB", (0.0, 60.0), "A loss is above 0.")
    radius_m = 1000.0 * radius_km
    return CoverageAsked(link=link, stand=stand, level=level, less_db=less_db, radius_m=radius_m)
