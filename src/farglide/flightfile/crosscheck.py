"""What in a flight file cannot hold together: each value possible, the pair not.

NaN stands for a number already refused; every comparison here is false with it, so one slip is
told once.
"""

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Final

from farglide import constants
from farglide.errors import Problem
from farglide.flightfile.entries import Entry, Sheet
from farglide.flightfile.sections.antennafile import antenna_problems
from farglide.flightfile.sections.heatfile import heat_problems
from farglide.flightfile.sections.partfile import part_problems
from farglide.flightfile.sections.placefile import place_problems
from farglide.flightfile.sections.radiofile import law_problems, link_problems
from farglide.flightfile.standins import Numbers, induced_drag_factor, stall_eas_mps

FAR_KM: Final = 500.0
_LOWEST_GLIDE_RATIO: Final = 2.0
_HIGHEST_GLIDE_RATIO: Final = 30.0
_LEAST_SPEED_RATIO: Final = 1.2  # top over stall: less leaves no speed to fly
_WING: Final = ("area_m2", "span_m", "chord_m", "aspect_ratio")
_WING_SLACK: Final = 1.25
_LIFTS: Final = (0.2, 3.0)  # the range of lift_max
_WING_LOADINGS_KGPM2: Final = (0.3, 60.0)
_GAS_MOLAR: Final[Mapping[str, float]] = {
    "helium": constants.HELIUM_MOLAR_MASS_KGPMOL,
    "hydrogen": constants.HYDROGEN_MOLAR_MASS_KGPMOL,
}


def contradictions(sheet: Sheet) -> list[Problem]:
    """Return every contradiction of a sheet, in the order of the file."""
    checks = (_launch, _fill, _envelope, _wing, _polar, _speeds, _glides, _packs, _fields, _wish)
    found = [problem for check in checks for problem in check(sheet)]
    radio = [*link_problems(sheet), *antenna_problems(sheet.links)]
    radio = radio or [*law_problems(sheet.links)]
    found += [*_same_names("[[links]]", sheet.links), *radio, *_stands(sheet)]
    found += [*_same_names("[[triggers]]", sheet.triggers), *_same_names("[[parts]]", sheet.parts)]
    found += [*heat_problems(sheet), *part_problems(sheet)]
    return [*found, *_barriers(sheet), *place_problems(sheet)]


def _stands(sheet: Sheet) -> Iterator[Problem]:
    yield from _same_names("[[stands]]", sheet.stands)
    launch = _place(sheet.numbers["launch"])
    places = [_place(one.numbers) for one in sheet.fields]
    if launch == (0.0, 0.0) or _launch_slip(launch, places):
        return
    for i, one in enumerate(sheet.stands, start=1):
        away_km = distance_km(launch, _place(one.numbers))
        if away_km > FAR_KM:
            what = f'"{one.name}" lies {away_km:.0f} km from the launch; allowed: {FAR_KM:.0f} km.'
            yield Problem(f"[[stands]] {i}", what, _sign_question(launch, _place(one.numbers)))


def _barriers(sheet: Sheet) -> Iterator[Problem]:
    yield from _same_names("[[barriers]]", sheet.barriers)
    launch = _place(sheet.numbers["launch"])
    for i, one in enumerate(sheet.barriers, start=1):
        far = [corner for corner in one.outline if distance_km(launch, corner) > FAR_KM]
        if far and launch != (0.0, 0.0):
            away_km = distance_km(launch, far[0])
            what = f"has a corner {away_km:.0f} km from the launch; allowed: {FAR_KM:.0f} km."
            yield Problem(f"[[barriers]] {i} outline", what, _sign_question(launch, far[0]))


def distance_km(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Return the distance between two places on a sphere, enough to tell a slip of sign.

    `a`, `b`: latitude and longitude in degrees.

    >>> round(distance_km((0.0, 0.0), (0.0, 1.0)), 1)
    111.2
    """
    lat_a, lat_b = math.radians(a[0]), math.radians(b[0])
    half_lat, half_lon = (lat_b - lat_a) / 2.0, math.radians(b[1] - a[1]) / 2.0
    h = math.sin(half_lat) ** 2 + math.cos(lat_a) * math.cos(lat_b) * math.sin(half_lon) ** 2
    return 2.0e-3 * constants.MEAN_EARTH_RADIUS_M * math.asin(math.sqrt(min(h, 1.0)))


def _launch(sheet: Sheet) -> Iterator[Problem]:
    lat_deg, lon_deg = _place(sheet.numbers["launch"])
    if lat_deg == 0.0 and lon_deg == 0.0:
        remedy = "Write lat_deg and lon_deg of the place where the balloon leaves the hand."
        yield Problem("[launch] lat_deg, lon_deg", "are 0, 0: no launch place.", remedy)


def _fill(sheet: Sheet) -> Iterator[Problem]:
    balloon = sheet.numbers["balloon"]
    fills = ("neck_lift_kg", "mean_ascent_mps", "burst_height_amsl_m")
    if all(balloon[key].given for key in fills):
        names = "neck_lift, mean_ascent and burst_height_amsl"
        what = "are one too many: two of them set the third."
        yield Problem(f"[balloon] {names}", what, "Leave one out.")
    neck_kg, hanging_kg = balloon["neck_lift_kg"].value, _hanging_kg(sheet)
    if neck_kg <= hanging_kg:
        what = f"is {neck_kg:.3f} kg, but {hanging_kg:.3f} kg hang below: it will not climb."
        remedy = "Write more than that weight, common practice is half as much again or more."
        yield Problem("[balloon] neck_lift_kg", what, remedy)
    top_m, launch_m = balloon["burst_height_amsl_m"].value, _amsl_m(sheet.numbers["launch"])
    if top_m <= launch_m + 1000.0:
        what = f"is {top_m:.0f} m, less than 1000 m above the launch at {launch_m:.0f} m."
        yield Problem("[balloon] burst_height_amsl_m", what, "Is that kilometres or feet?")


def _envelope(sheet: Sheet) -> Iterator[Problem]:
    """Hold the bursting diameter against the diameter at the fill, at sea level in standard air."""
    balloon = sheet.numbers["balloon"]
    neck_kg = balloon["neck_lift_kg"].value
    carried_kg = neck_kg if balloon["neck_lift_kg"].given else _hanging_kg(sheet)
    lift_kg = carried_kg + balloon["mass_kg"].value
    gas_ratio = _GAS_MOLAR[sheet.gas] / constants.AIR_MOLAR_MASS_KGPMOL
    buoyant_ratio = balloon["purity_ratio"].value * (1.0 - gas_ratio)
    volume_m3 = lift_kg / (constants.SEA_LEVEL_DENSITY_KGPM3 * buoyant_ratio)
    fill_m = (6.0 * volume_m3 / math.pi) ** (1.0 / 3.0)
    burst_m = balloon["burst_diameter_m"].value
    if burst_m <= fill_m:
        what = f"is {burst_m:.2f} m, but the fill already makes it {fill_m:.2f} m wide."
        remedy = "Check the diameter (not the radius), the balloon's mass and the neck lift."
        yield Problem("[balloon] burst_diameter_m", what, remedy)


def _wing(sheet: Sheet) -> Iterator[Problem]:
    glider = sheet.numbers["glider"]
    wing = {key: glider[key].value for key in _WING if glider[key].given}
    area, span, chord, aspect = (wing.get(key, math.nan) for key in _WING)
    pairs = (
        ("area", "span × chord", area, span * chord, "m²"),
        ("aspect_ratio", "span² / area", aspect, span**2 / area, ""),
        ("aspect_ratio", "area / chord²", aspect, area / chord**2, ""),
        ("aspect_ratio", "span / chord", aspect, span / chord, ""),
    )
    for name, law, stated, implied, unit in pairs:
        if stated > _WING_SLACK * implied or implied > _WING_SLACK * stated:
            text = f" {unit}" if unit else ""
            what = f"is {stated:.4g}{text}, but {law} gives {implied:.4g}{text}."
            yield Problem(f"[glider] {name}", what, "Leave out the one you trust least.")
            break
    loading = glider["mass_kg"].value / glider["area_m2"].value
    low, high = _WING_LOADINGS_KGPM2
    if loading < low or loading > high:
        what = f"and area make a wing loading of {loading:.3g} kg/m²; allowed: {low} to {high}."
        yield Problem("[glider] mass", what, "Check the units of both.")


def _polar(sheet: Sheet) -> Iterator[Problem]:
    glider = sheet.numbers["glider"]
    k = induced_drag_factor(glider["aspect_ratio"].value, glider["span_efficiency_ratio"].value)
    ratio = 0.5 / math.sqrt(glider["zero_lift_drag"].value * k)
    if ratio < _LOWEST_GLIDE_RATIO or ratio > _HIGHEST_GLIDE_RATIO:
        what = f"with aspect ratio and span efficiency give a best glide ratio of {ratio:.1f}."
        allowed = f"allowed: {_LOWEST_GLIDE_RATIO:g} to {_HIGHEST_GLIDE_RATIO:g}."
        remedy = f"{allowed[0].upper()}{allowed[1:]} Is zero_lift_drag right?"
        yield Problem("[glider] zero_lift_drag", what, remedy)
    lift, (low, high) = glider["lift_max"].value, _LIFTS
    if glider["stall_eas_mps"].given and (lift < low or lift > high):
        what = f"asks for a lift coefficient of {lift:.2f} with this mass and area."
        yield Problem(
            "[glider] stall_eas", what, f"Allowed: {low:g} to {high:g}. Check speed, mass, area."
        )


def _speeds(sheet: Sheet) -> Iterator[Problem]:
    glider, drop = sheet.numbers["glider"], sheet.numbers["drop"]
    if not _LIFTS[0] <= glider["lift_max"].value <= _LIFTS[1]:
        return
    stall = stall_eas_mps(
        glider["mass_kg"].value, glider["area_m2"].value, glider["lift_max"].value
    )
    top, pull = glider["top_eas_mps"], drop["pull_eas_mps"].value
    least = _LEAST_SPEED_RATIO * stall
    if top.given and top.value < least:
        what = f"is {top.value:.1f} m/s, but it stalls at {stall:.1f} m/s."
        yield Problem("[glider] top_eas", what, f"Allowed: {least:.1f} m/s or more.")
    if pull < stall:
        what = f"is {pull:.1f} m/s, below the stall at {stall:.1f} m/s."
        yield Problem("[drop] pull_eas", what, f"Write {1.4 * stall:.1f} or so.")
    if top.given and pull > top.value:
        what = f"is {pull:.1f} m/s, above top_eas, {top.value:.1f} m/s."
        yield Problem("[drop] pull_eas", what, "Begin the pull-out below the top speed.")


def _glides(sheet: Sheet) -> Iterator[Problem]:
    if not sheet.glides:
        return
    if len(sheet.glides) < 3:
        what = f"are {len(sheet.glides)}; allowed: three or more, at three speeds."
        yield Problem("[[glider.timed_glides]]", what, "Fly the missing ones, or state the polar.")
    glider = sheet.numbers["glider"]
    for key in ("zero_lift_drag", "span_efficiency_ratio"):
        if glider[key].given:
            what = "and the timed glides say the same thing twice."
            yield Problem(f"[glider] {key}", what, "Keep one of them.")
    for i, one in enumerate(sheet.glides, start=1):
        where, numbers = f"[[glider.timed_glides]] {i}", one.numbers
        distance, speed = numbers["distance_m"], numbers["speed_eas_mps"]
        if distance.given == speed.given:
            what = "needs the distance or the airspeed, one of them."
            yield Problem(where, what, "Write distance_m or speed_eas_mps.")
        duration_s, fall_m = numbers["duration_s"].value, numbers["from_agl_m"].value
        path_m = distance.value if distance.given else speed.value * duration_s
        if path_m <= fall_m or path_m > 40.0 * fall_m:
            what = f"makes {path_m / fall_m:.1f} m of way in a metre of height."
            yield Problem(
                where, what, "Allowed: more than 1, up to 40. Check heights, times and speeds."
            )


def _packs(sheet: Sheet) -> Iterator[Problem]:
    yield from _same_names("[[packs]]", sheet.packs)
    for i, one in enumerate(sheet.packs, start=1):
        numbers = one.numbers
        lasts_s = 3600.0 * numbers["energy_wh"].value * numbers["cold_ratio"].value
        lasts_s /= numbers["load_w"].value
        end_s = numbers["on_after_launch_s"].value + lasts_s - numbers["reserve_s"].value
        if end_s <= 0.0:
            what = f"ends {-end_s / 60.0:.0f} min before the launch, its reserve kept."
            remedy = "Check energy_wh (mAh × volts / 1000) and load_w."
            yield Problem(f"[[packs]] {i}", what, remedy)


def _fields(sheet: Sheet) -> Iterator[Problem]:
    yield from _same_names("[[fields]]", sheet.fields)
    launch = _place(sheet.numbers["launch"])
    if launch == (0.0, 0.0):
        return
    slip = _launch_slip(launch, [_place(one.numbers) for one in sheet.fields])
    if slip:
        what = "lie far from every field."
        yield Problem("[launch] lat_deg, lon_deg", what, slip)
        return
    for i, one in enumerate(sheet.fields, start=1):
        place = _place(one.numbers)
        away_km = distance_km(launch, place)
        if away_km > FAR_KM:
            what = f'"{one.name}" lies {away_km:.0f} km from the launch; allowed: {FAR_KM:.0f} km.'
            yield Problem(f"[[fields]] {i}", what, _sign_question(launch, place))


def _launch_slip(launch: tuple[float, float], places: list[tuple[float, float]]) -> str:
    """Return which slip in the launch place keeps it far from all of two or more fields."""
    far = [place for place in places if distance_km(launch, place) > FAR_KM]
    if len(places) < 2 or len(far) < len(places):
        return ""
    asked = {_sign_question(place, launch) for place in places}
    (question,) = asked if len(asked) == 1 else ("",)
    return question if question.startswith("Is ") else ""


def _sign_question(launch: tuple[float, float], place: tuple[float, float]) -> str:
    """Return which slip of sign or order would bring a place near the launch."""
    lat, lon = place
    slips = {
        "the sign of lon_deg": (lat, -lon),
        "the sign of lat_deg": (-lat, lon),
        "both signs": (-lat, -lon),
        "the order of lat_deg and lon_deg": (lon, lat),
    }
    near = [name for name, (a, b) in slips.items() if distance_km(launch, (a, b)) <= FAR_KM]
    if near:
        return f"Is {near[0]} right? Changed, it would lie near."
    return "Check the signs of both places: south and west are negative."


def _wish(sheet: Sheet) -> Iterator[Problem]:
    wish = sheet.numbers["wish"]
    if wish["doubtful_ratio"].value >= wish["open_ratio"].value:
        what = f"is {wish['doubtful_ratio'].value:g}, not below open_ratio."
        yield Problem("[wish] doubtful_ratio", what, "Open asks for better odds than doubtful.")
    wanted_m, launch_m = wish["wanted_amsl_m"].value, _amsl_m(sheet.numbers["launch"])
    if wanted_m < launch_m:
        what = f"is {wanted_m:.0f} m, below the launch at {launch_m:.0f} m."
        yield Problem("[wish] wanted_amsl_m", what, "Write a height above mean sea level.")


def _same_names(where: str, entries: list[Entry]) -> Iterator[Problem]:
    for name, n in Counter(one.name.casefold() for one in entries).items():
        if n > 1:
            yield Problem(where, f'"{name}" stands {n} times.', "Give each its own name.")


def _hanging_kg(sheet: Sheet) -> float:
    return sheet.numbers["glider"]["mass_kg"].value + sheet.numbers["train"]["line_kg"].value


def _place(numbers: Numbers) -> tuple[float, float]:
    return numbers["lat_deg"].value, numbers["lon_deg"].value


def _amsl_m(numbers: Numbers) -> float:
    return numbers["amsl_m"].value
