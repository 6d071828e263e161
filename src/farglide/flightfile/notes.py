"""File notes: what the crew should know of a flight file although nothing in it is refused."""

import math
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from farglide.flightfile.entries import Entries, Entry
from farglide.flightfile.sections.antennafile import is_aboard
from farglide.flightfile.sections.antennakeys import ENDS, QUARTER_WAVE, USUAL
from farglide.radio.ends.end import FAULT_DB
from farglide.sortie.spec import Sortie
from farglide.sortie.words import clock_doubt
from farglide.units import FOOT_M

_STRANGE_RISE_M: Final = 300.0
_USUAL_DRAG: Final = (0.1, 0.8)
_LEAST_AS_DBM_W: Final = 20.0  # transmitters of 20 to 50 dBm are usual, of 20 to 50 W are not
_LEAST_EIRP_DBM: Final = 10.0
_WIND_DOUBTS: Final = {
    "deep_wind_ratio": "a share of their speed, along it",
    "shallow_wind_mps": "waves and gusts",
    "beyond_mps": "what they are above their top and in gaps",
}


def wind_note(path: Path, entries: Entries) -> str:
    """Return what is wrong with the winds that the file names; a plan may be given others."""
    name = entries.the("wind").texts["file"]
    if not name:
        return "No winds are stated: without [wind] no flight can be planned."
    if not _is_file(path.parent / name):
        return f"The winds {name} are not there yet."
    return ""


def missing_notes(folder: Path, sortie: Sortie) -> Iterator[str]:
    """Yield which files besides the winds are not there, as the file in `folder` names them."""
    ground = sortie.terrain.paths if sortie.terrain else ()
    ends = [end for link in sortie.links for end in (link.sender_end, link.receiver_end)]
    told = (
        ("The ground {} is", ground),
        ("The places {} are", sortie.places.paths),
        ("The barrier {} is", [one.path for one in sortie.places.barriers]),
        ("The pattern {} is", [path for end in ends for path in end.pattern_paths]),
    )
    for words, paths in told:
        for path in map(Path, dict.fromkeys(paths)):
            if not _is_file(path):
                name = path.relative_to(folder) if path.is_relative_to(folder) else path
                yield f"{words.format(name)} not there yet."


def notes_of(entries: Entries) -> Iterator[str]:
    """Yield what the crew should know although nothing is wrong."""
    the, of = entries.the, entries.of
    if not of["packs"]:
        yield "No pack is stated: nothing here knows when the power ends."
    if not the("payload").given("mass_kg"):
        yield from _glider_notes(entries)
    constant = the("balloon").numbers["drag_coefficient"]
    if constant.given and not _USUAL_DRAG[0] <= constant.value <= _USUAL_DRAG[1]:
        yield f"A drag coefficient of {constant.value:g} is unusual for a rising balloon."
    if constant.given:
        yield (
            "One drag coefficient serves the whole climb. Real climbs are more even: this one "
            "stays low too long and hurries at the top, so it drifts too far downwind. Leave it "
            "out (drag_coefficient) for the usual curve, or give a curve (drag_table)."
        )
    yield from _inexact_winds(the("doubt"))
    yield from _doubtful_units(entries)
    for one in of["links"]:
        yield from _doubtful_power(one)
        yield from _shaded(one)
    for one in of["links"]:
        offset_db = one.value("offset_db")
        if abs(offset_db) > FAULT_DB:
            stood = f"stood {offset_db:+.0f} dB off its budget in the ground test"
            yield f"Link {one.name} {stood}: do not shift the curve by that, find the fault."
    yield from _unfed(entries)


def _inexact_winds(doubt: Entry) -> Iterator[str]:
    """Yield what is still in doubt of winds that are meant to be exact."""
    if not (doubt.given("deep_wind_mps") and doubt.value("deep_wind_mps") == 0.0):
        return
    left = [one for key, one in _WIND_DOUBTS.items() if doubt.stated(key) != 0.0]
    if left:
        zeros = " and ".join(f"{one} = 0" for one in _WIND_DOUBTS if doubt.stated(one) != 0.0)
        yield (
            "With deep_wind_mps = 0 the winds are not exact yet: they may still be off by "
            f"{', and by '.join(left)}. For exact winds write {zeros} too."
        )


def _glider_notes(entries: Entries) -> Iterator[str]:
    """Yield what is not known of a glider, its fields and its crew."""
    the, of = entries.the, entries.of
    if not of["fields"] and not the("places").lists["files"]:
        yield "No field is stated: at every minute of the climb there is nowhere to land."
    top = the("glider").numbers["top_eas_mps"]
    if not top.given:
        fastest = f"nothing faster than best glide, {top.value:.1f} m/s EAS, is offered"
        yield f"No top airspeed (top_eas) is stated: {fastest}."
    mach = the("glider").numbers["top_mach"]
    if not mach.given:
        wing = f"a plain wing that lifts {the('glider').value('lift_max'):.2f} at most"
        guess = f"{mach.value:.2f} stands in, a guess for {wing}"
        yield f"No top Mach number (top_mach) is stated: {guess}."
    if of["glider.timed_glides"]:
        yield f"The polar is fitted from {len(of['glider.timed_glides'])} timed glides."
    if not the("crew").counts["n_releases"]:
        yield "No release has been tried: its chance is not known."
    if not the("crew").counts["n_pullouts"]:
        yield "No pull-out has been flown: its chance is not known."


def _unfed(entries: Entries) -> Iterator[str]:
    """Yield links and triggers whose needs name neither a pack nor another link."""
    for noun, section in (("Link", "links"), ("Trigger", "triggers")):
        for one in entries.of[section]:
            needs = [need.casefold() for need in one.lists["needs"]]
            if needs and not any(need.startswith(("pack ", "link ")) for need in needs):
                yield f'{noun} {one.name} needs no pack: name what feeds it, as in "pack all".'


def _doubtful_units(entries: Entries) -> Iterator[str]:
    """Yield what looks like another unit or sign, though it may be meant."""
    launch = entries.the("launch")
    launch_m = launch.value("amsl_m")
    heights = {one.name: one.value("amsl_m") for one in entries.of["fields"]}
    told = [n for n, z in heights.items() if _fits_as_feet(z, launch_m)]
    if len(heights) > 1 and all(_fits_as_feet(launch_m, z) for z in heights.values()):
        yield f"The launch at {launch_m:.0f} m lies far above every field. Is its height feet?"
        told = []
    for name in told:
        apart = f"{abs(heights[name] - launch_m):.0f} m from the height of the launch"
        as_feet = f"as feet it would be {FOOT_M * heights[name]:.0f} m"
        yield f"Field {name} at {heights[name]:.0f} m lies {apart}; {as_feet}. Is it feet?"
    offset_h = entries.the("flight").value("launch_offset_h")
    doubt = clock_doubt(offset_h, *launch.place)
    if doubt:
        yield doubt


def _doubtful_power(link: Entry) -> Iterator[str]:
    """Yield a power that looks like a level in dBm, or a level that looks like a power."""
    power, eirp = link.numbers["power_w"], link.numbers["eirp_dbm"]
    if power.given and power.value >= _LEAST_AS_DBM_W:
        meant = f"power_w = {math.pow(10.0, 0.1 * power.value - 3.0):.3g}"
        yield f"Link {link.name} sends with {power.value:g} W. Is that dBm? Then write {meant}."
    if eirp.given and eirp.value < _LEAST_EIRP_DBM:
        radiates = f"{eirp.value:g} dBm, {math.pow(10.0, 0.1 * eirp.value - 3.0):.3g} W"
        meant = f"eirp_w = {eirp.value:g}"
        yield f"Link {link.name} radiates {radiates}. Is that watts? Then write {meant}."


def _shaded(link: Entry) -> Iterator[str]:
    """Yield a quarter wave on the glider whose metal lies between its wire and the ground."""
    for end in ENDS:
        upright = link.texts[f"{end}_pointing"] in (USUAL, "up")
        if link.texts[f"{end}_antenna"] == QUARTER_WAVE and upright and is_aboard(link, end):
            shade = "the metal at its foot shades the ground, where the crew is"
            remedy = f'Turn it over: {end}_pointing = "down"; then only straight below is weak.'
            what = f"Link {link.name}: the quarter wave on the glider points up, so {shade}."
            yield f"{what} {remedy}"


def _fits_as_feet(amsl_m: float, beside_m: float) -> bool:
    """Tell whether a height far from another lies near it when taken for feet."""
    apart_m = abs(amsl_m - beside_m)
    return apart_m > _STRANGE_RISE_M and abs(FOOT_M * amsl_m - beside_m) < 0.25 * apart_m


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:  # a folder on the way that may not be entered
        return False
