"""Told spots: a launch spot looked at closely, at every height and with its own stands."""

from typing import NamedTuple

from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble
from farglide.chances.heights import chances_by
from farglide.chances.spells import shut_s
from farglide.chances.spots import Asking, Spots, fields_from, heard_from
from farglide.chances.trial import median_burst_s
from farglide.chances.window import Decision, window_of
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_of
from farglide.outlook.launch import OWNER_REFUSED, TOO_FAR, Kind, SpotField, ToldSpot
from farglide.rig.drives import drives_home_s, drives_on_s, home_place
from farglide.sortie.launch_place import REFUSED, LaunchPlace
from farglide.sortie.spec import SECOND_CREW, Sortie


class Named(NamedTuple):
    """What a spot is called, of which kind it is, and what is known of a prepared one."""

    kind: Kind
    name: str
    place: LaunchPlace | None = None


class _Serving(NamedTuple):
    """The stand that serves the best release for home, when it is manned, and how links hold."""

    name: str = ""
    drive_s: float | None = None
    ready_s: float | None = None
    links_ratio: float | None = None


def told_spot(asking: Asking, named: Named, spot: Spots) -> ToldSpot:
    """Return one spot looked at closely. `spot`: that one alone."""
    place, sortie = named.place, asking.ensemble.sortie
    ensemble = heard_from(asking.ensemble, spot)
    chances = chances_by(ensemble, asking.every, fields_from(ensemble, spot))
    windows = [window_of(ensemble, chances, f) for f in range(len(sortie.fields))]
    here = Place(lat_deg=float(spot.lat_deg[0]), lon_deg=float(spot.lon_deg[0]), amsl_m=0.0)
    home, launch = (geodesic(one, here) for one in (home_place(sortie), place_of(sortie.launch)))
    stated_s = place.drive_s if place else None
    guess_s = float(drives_home_s(sortie, spot.lat_deg, spot.lon_deg)[0])
    drive_s = guess_s if stated_s is None else stated_s
    serving = _serving(ensemble, chances, windows[0], spot)
    any_height = asking.from_amsl_m <= 0.0
    fields = tuple(_field(ensemble, chances, one, any_height) for one in windows)
    return ToldSpot(
        name=named.name,
        kind=named.kind,
        lat_deg=here.lat_deg,
        lon_deg=here.lon_deg,
        up_drift_m=float(spot.up_m[0]),
        across_m=float(spot.left_m[0]),
        from_home_m=home.distance_m,
        from_home_deg=home.azimuth_deg,
        from_launch_m=launch.distance_m,
        from_launch_deg=launch.azimuth_deg,
        drive_s=drive_s,
        drive_guessed=stated_s is None and drive_s > 0.0,
        stand=serving.name,
        stand_drive_s=serving.drive_s,
        stand_ready_after_launch_s=serving.ready_s,
        links_ratio=serving.links_ratio,
        any_field_ratio=max(one.chance_ratio for one in fields),
        fields=fields,
        barred=_bar(sortie, place, drive_s),
        owner=place.owner if place else "",
        surface=place.surface if place else "",
        trees_upwind=place.trees_upwind if place else "",
        obstacles=place.obstacles if place else "",
    )


def _bar(sortie: Sortie, place: LaunchPlace | None, drive_s: float) -> str:
    if place is not None and place.owner == REFUSED:
        return OWNER_REFUSED
    limit_s = sortie.launch.may_drive_s
    return TOO_FAR if limit_s is not None and drive_s > limit_s else ""


def _field(ensemble: Ensemble, chances: Chances, window: Decision, any_height: bool) -> SpotField:
    """Return the chance of one field; from below the wished height where no balloon gets there."""
    counts = window.above_wanted or any_height
    return SpotField(
        field=ensemble.sortie.fields[window.field].name,
        chance_ratio=window.chance_ratio if counts else 0.0,
        shut_s=shut_s(chances, window.field, ensemble.sortie.wish, median_burst_s(ensemble)),
        release_by_after_launch_s=window.release_by_s,
    )


def _serving(ensemble: Ensemble, chances: Chances, window: Decision, spot: Spots) -> _Serving:
    """Return the stand for the best release of a window."""
    holding, listening = chances.holding, ensemble.listening
    if holding is None or listening is None:
        return _Serving()
    k = int(holding.stand[window.best, window.field])
    if k < 0:
        return _Serving(links_ratio=0.0)
    stand = ensemble.sortie.stands[k]
    drive_s = float(drives_on_s(ensemble.sortie, spot.lat_deg, spot.lon_deg)[0, k])
    return _Serving(
        name=stand.name,
        drive_s=None if stand.crew == SECOND_CREW else drive_s,
        ready_s=float(listening.ready_s[k]),
        links_ratio=float(holding.by_purpose[window.best, window.field].min()),
    )
