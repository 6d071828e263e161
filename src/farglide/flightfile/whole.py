"""Whole: the entries of a flight file put together into a sortie."""

from pathlib import Path

from farglide.flightfile.crosscheck import hanging_mass_kg
from farglide.flightfile.entries import Entries
from farglide.flightfile.sections.balloon import balloon_of
from farglide.flightfile.sections.drop import drop_of
from farglide.flightfile.sections.feeds import feed_of
from farglide.flightfile.sections.flight import launch_of
from farglide.flightfile.sections.glider import glider_of
from farglide.flightfile.sections.launching import launch_place_of
from farglide.flightfile.sections.links import link_spec, rain_depth_m
from farglide.flightfile.sections.packs import pack_of
from farglide.flightfile.sections.payload import payload_of
from farglide.flightfile.sections.permits import needed_permissions
from farglide.flightfile.sections.places import barriers_of, field_of, places_source
from farglide.flightfile.sections.release import release_of
from farglide.flightfile.sections.sources import terrain_of, wind_of
from farglide.sortie.gear import PartSpec, TrainSpec, TriggerSpec
from farglide.sortie.known import Tag
from farglide.sortie.spec import DoubtSpec, Sortie, StandSpec, Wish


def sortie_of(path: Path, entries: Entries, tags: dict[str, Tag]) -> Sortie:
    """Return the sortie of entries found without problems, out of the file at `path`."""
    the, of, folder = entries.the, entries.of, path.parent
    depth_m = rain_depth_m(the("launch"), of["stands"])
    return Sortie(
        name=the("flight").name or path.stem,
        launch=launch_of(the("flight"), the("launch")),
        balloon=balloon_of(the("balloon"), hanging_mass_kg(entries)),
        train=the("train").spec(TrainSpec),
        glider=glider_of(the("glider")),
        drop=drop_of(the("drop"), the("crew")),
        release=release_of(the("release")),
        packs=tuple(map(pack_of, of["packs"])),
        fields=tuple(map(field_of, of["fields"])),
        links=tuple(link_spec(one, folder, depth_m) for one in of["links"]),
        stands=tuple(one.spec(StandSpec) for one in of["stands"]),
        triggers=tuple(one.spec(TriggerSpec) for one in of["triggers"]),
        parts=tuple(one.spec(PartSpec) for one in of["parts"]),
        terrain=terrain_of(the("terrain"), folder),
        payload=payload_of(the("payload")),
        set_up_s=the("crew").value("set_up_s"),
        barriers=barriers_of(of["barriers"]),
        places=places_source(the("places"), of["barriers"], folder),
        launch_places=tuple(map(launch_place_of, of["launch_places"])),
        doubt=the("doubt").spec(DoubtSpec),
        wish=the("wish").spec(Wish),
        wind=wind_of(the("wind"), folder),
        permissions=_permissions(entries),
        feeds=tuple(feed_of(one, folder) for one in of["feeds"]),
        tags=tags,
    )


def _permissions(entries: Entries) -> tuple[tuple[str, str], ...]:
    """Return the permissions that concern the flight, and those that somebody looked into.

    A glider without any radio stated is one whose radios are not stated yet.
    """
    is_box = entries.the("payload").given("mass_kg")
    purposes = {one.texts["purpose"] for one in entries.of["links"]}
    if not (is_box or purposes):
        purposes = {"picture", "command"}
    possible = needed_permissions(is_box, ("picture", "command"))
    needed = needed_permissions(is_box, purposes)
    told = [(what, entries.the("permissions").texts[what]) for what in possible]
    return tuple((what, state) for what, state in told if what in needed or state != "missing")
