"""What in a flight file cannot hold together: each value possible, the pair not.

NaN stands for a number already refused; every comparison here is false with it, so one slip is
told once.
"""

import math
from collections import Counter
from collections.abc import Iterator
from typing import Final

from farglide import constants
from farglide.balloon.gas import MOLAR_MASS_KGPMOL
from farglide.errors import Problem
from farglide.flightfile.entries import Entries, Entry
from farglide.flightfile.sections.antennafile import antenna_problems
from farglide.flightfile.sections.balloon import fill_problems
from farglide.flightfile.sections.case import case_problems
from farglide.flightfile.sections.drop import speed_problems
from farglide.flightfile.sections.feeds import feed_problems
from farglide.flightfile.sections.flight import launch_problems, wish_problems
from farglide.flightfile.sections.glider import glide_problems, glider_problems
from farglide.flightfile.sections.launching import drive_problems, launch_place_problems
from farglide.flightfile.sections.linkproblems import law_problems, link_problems
from farglide.flightfile.sections.packs import box_problems, pack_problems
from farglide.flightfile.sections.parts import part_problems
from farglide.flightfile.sections.places import outline_problems
from farglide.flightfile.sections.release import reading_problems
from farglide.sortie.words import number_text

FAR_KM: Final = 500.0

Place = tuple[float, float]
"""Latitude and longitude in degrees."""


def contradictions(entries: Entries) -> list[Problem]:
    """Return every contradiction of a flight file, in the order of the file."""
    the, of = entries.the, entries.of
    launch, glider, hanging_kg = the("launch"), the("glider"), hanging_mass_kg(entries)
    radio = [*link_problems(of["links"]), *antenna_problems(of["links"])]
    return [
        *launch_problems(launch),
        *fill_problems(the("balloon"), hanging_kg, launch.value("amsl_m")),
        *_envelope(the("balloon"), hanging_kg), *glider_problems(glider),
        *speed_problems(the("drop"), glider), *glide_problems(glider, of["glider.timed_glides"]),
        *_same_names(entries, "packs"), *pack_problems(of["packs"]),
        *_same_names(entries, "fields"), *_far(entries, "fields"), *_same_places(entries),
        *reading_problems(the("release")),
        *wish_problems(the("wish"), launch.value("amsl_m"), the("balloon")),
        *_same_names(entries, "links"),
        *(radio or law_problems(of["links"])), *_same_names(entries, "stands"),
        *_far(entries, "stands"), *_same_names(entries, "triggers"), *_same_names(entries, "parts"),
        *box_problems(of["packs"]), *case_problems(of["links"]), *part_problems(entries),
        *_same_names(entries, "barriers"), *_far_barriers(entries),
        *outline_problems(of["fields"], of["barriers"]), *_same_names(entries, "launch_places"),
        *_far(entries, "launch_places"), *drive_problems(entries),
        *launch_place_problems(entries), *_same_names(entries, "feeds"),
        *feed_problems(of["feeds"], [one.name for one in of["links"]]),
    ]  # fmt: skip


def hanging_mass_kg(entries: Entries) -> float:
    """Return the mass that hangs below the balloon's neck."""
    return entries.the("glider").value("mass_kg") + entries.the("train").value("line_kg")


def sphere_km(a: Place, b: Place) -> float:
    """Return the distance between two places on a sphere, enough to tell a slip of sign.

    >>> round(sphere_km((0.0, 0.0), (0.0, 1.0)), 1)
    111.2
    """
    lat_a, lat_b = math.radians(a[0]), math.radians(b[0])
    half_lat, half_lon = (lat_b - lat_a) / 2.0, math.radians(b[1] - a[1]) / 2.0
    h = math.sin(half_lat) ** 2 + math.cos(lat_a) * math.cos(lat_b) * math.sin(half_lon) ** 2
    return 2.0e-3 * constants.MEAN_EARTH_RADIUS_M * math.asin(math.sqrt(min(h, 1.0)))


def _envelope(balloon: Entry, hanging_kg: float) -> Iterator[Problem]:
    """Hold the bursting diameter against the diameter at the fill, at sea level in standard air."""
    carried_kg = balloon.value("neck_lift_kg") if balloon.given("neck_lift_kg") else hanging_kg
    lift_kg = carried_kg + balloon.value("mass_kg")
    gas_ratio = MOLAR_MASS_KGPMOL[balloon.texts["gas"]] / constants.AIR_MOLAR_MASS_KGPMOL
    buoyant_ratio = balloon.value("purity_ratio") * (1.0 - gas_ratio)
    volume_m3 = lift_kg / (constants.SEA_LEVEL_DENSITY_KGPM3 * buoyant_ratio)
    fill_m = (6.0 * volume_m3 / math.pi) ** (1.0 / 3.0)
    burst_m = balloon.value("burst_diameter_m")
    if burst_m <= fill_m:
        what = f"is {burst_m:.2f} m, but the fill already makes it {fill_m:.2f} m wide."
        remedy = "Check the diameter (not the radius), the balloon's mass and the neck lift."
        yield balloon.problem("burst_diameter_m", what, remedy)


def _far(entries: Entries, section: str) -> Iterator[Problem]:
    """Yield what lies too far from the launch; with a slip in the launch itself, that once."""
    launch, slip = entries.the("launch"), _launch_slip(entries)
    if slip and section == "fields":
        yield launch.problem("lat_deg, lon_deg", "lie far from every field.", slip)
    for one in [] if slip else entries.of[section]:
        if _is_far(launch.place, one.place):
            away = f"{number_text(sphere_km(launch.place, one.place))} km"
            what = f'"{one.name}" lies {away} from the launch; allowed: {FAR_KM:.0f} km.'
            yield one.problem("", what, _sign_question(launch.place, one.place))


def _far_barriers(entries: Entries) -> Iterator[Problem]:
    launch = entries.the("launch").place
    for one in entries.of["barriers"]:
        far = [corner for corner in one.outline if _is_far(launch, corner)]
        if far:
            away_km = sphere_km(launch, far[0])
            what = (
                f"has a corner {number_text(away_km)} km from the launch; allowed: {FAR_KM:.0f} km."
            )
            yield one.problem("outline", what, _sign_question(launch, far[0]))


def _is_far(launch: Place, place: Place) -> bool:
    """Tell whether a place lies too far from the launch; from none stated, nothing does."""
    return launch != (0.0, 0.0) and sphere_km(launch, place) > FAR_KM


def _launch_slip(entries: Entries) -> str:
    """Return which slip in the launch place keeps it far from all of two or more fields."""
    launch, places = entries.the("launch").place, [one.place for one in entries.of["fields"]]
    if len(places) < 2 or not all(_is_far(launch, place) for place in places):
        return ""
    asked = {_sign_question(place, launch) for place in places}
    (question,) = asked if len(asked) == 1 else ("",)
    return question if question.startswith("Is ") else ""


def _sign_question(launch: Place, place: Place) -> str:
    """Return which slip of sign or order would bring a place near the launch."""
    lat, lon = place
    slips = {
        "the sign of lon_deg": (lat, -lon),
        "the sign of lat_deg": (-lat, lon),
        "both signs": (-lat, -lon),
        "the order of lat_deg and lon_deg": (lon, lat),
    }
    near = [name for name, (a, b) in slips.items() if sphere_km(launch, (a, b)) <= FAR_KM]
    if near:
        return f"Is {near[0]} right? Changed, it would lie near."
    return "Check the signs of both places: south and west are negative."


def _same_places(entries: Entries) -> Iterator[Problem]:
    """Yield fields that lie where another one lies, to about a metre."""
    seen: dict[Place, str] = {}
    for one in entries.of["fields"]:
        lat_deg, lon_deg = one.place
        place = round(lat_deg, 5), round(lon_deg % 360.0, 5)
        if place in seen and lat_deg == lat_deg and lon_deg == lon_deg:
            what = f'"{one.name}" lies just where "{seen[place]}" lies, {lat_deg:g}, {lon_deg:g}.'
            yield one.problem("", what, "Correct one of them, or take it out.")
        seen.setdefault(place, one.name)


def _same_names(entries: Entries, section: str) -> Iterator[Problem]:
    names = [one.name.casefold() for one in entries.of[section]]
    for name, n in Counter(names).items():
        if n > 1:
            what = f'"{name}" stands {n} times.'
            yield Problem(f"[[{section}]]", what, "Give each its own name.")
    launch = entries.the("launch").name
    if section == "launch_places" and launch.casefold() in names:
        what = f'"{launch}" is the name of the launch too.'
        yield Problem(f"[[{section}]]", what, "Give each its own name.")
