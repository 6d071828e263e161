"""Preview in words: what a flight file already tells of its flight."""

from collections.abc import Iterator

from farglide.outlook.preview import Preview
from farglide.sortie.words import km_text, number_text


def preview_lines(found: Preview) -> list[str]:
    """Return best glide, fill, burst and the reach of every link, a sentence each."""
    return [f"What it comes to in {found.air}", *(f"  {line}" for line in _facts(found))]


def _glide(found: Preview) -> str:
    return (
        f"Best glide {number_text(found.glide_ratio, 1)} to 1 at "
        f"{number_text(found.best_eas_mps, 1)} m/s EAS, as flown "
        f"{number_text(found.flown_glide_ratio, 1)} to 1; it stalls at "
        f"{number_text(found.stall_eas_mps, 1)} m/s."
    )


def _facts(found: Preview) -> Iterator[str]:
    if found.canopy_sink_mps is None:
        yield _glide(found)
    else:
        sink = number_text(found.canopy_sink_mps, 1)
        yield f"Under its parachute it comes down, near sea level, at {sink} m/s."
    yield (
        f"Fill: {number_text(found.neck_lift_kg, 2)} kg at the neck just float, "
        f"{number_text(found.volume_m3, 2)} m³ of {found.gas}, "
        f"{number_text(found.fill_diameter_m, 2)} m wide."
    )
    bursts_at = f"{number_text(found.burst_diameter_m, 2)} m"
    if found.burst_amsl_m is None or found.burst_after_launch_s is None:
        yield f"It never reaches its bursting diameter of {bursts_at}."
    else:
        yield (
            f"It climbs at {number_text(found.mean_ascent_mps or 0.0, 1)} m/s in the mean and "
            f"bursts at {bursts_at}, {km_text(found.burst_amsl_m)} km up, "
            f"after {number_text(found.burst_after_launch_s / 60.0)} min."
        )
    for link in found.links:
        yield (
            f"Link {link.name} reaches {km_text(link.reach_m, 0)} km in free space, "
            f"{km_text(link.half_reach_m, 0)} km with 6 dB of margin."
        )
