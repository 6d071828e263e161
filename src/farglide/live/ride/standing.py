"""Standing: where the crew is, by what it said and by its car's receiver."""

from collections.abc import Sequence

from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_of
from farglide.live.after.wayahead import BY_THE_CAR_M
from farglide.live.ride.task import Entered
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix
from farglide.track.typed.entries import AtStand


def crew_place(sortie: Sortie, entries: Sequence[Entered], car: Fix | None) -> Place | None:
    """Return where the crew is, its height left out; None where nobody told.

    At the stand where it said so last, unless its car was heard elsewhere since; else where its car
    was heard.
    """
    heard = None if car is None else car_place(car)
    told = [(one.t_s, one.entry.stand) for one in entries if isinstance(one.entry, AtStand)]
    said_t_s, name = told[-1] if told else (0.0, "")
    stand = next((one for one in sortie.stands if one.name == name), None)
    if stand is None:
        return heard
    here = place_of(stand, 0.0)
    if car is None or heard is None or (car.t_s or 0.0) <= said_t_s:
        return here
    return here if geodesic(heard, here).distance_m < BY_THE_CAR_M else heard


def car_place(fix: Fix) -> Place:
    """Return where a car is, its height left out."""
    return Place(lat_deg=fix.lat_deg, lon_deg=fix.lon_deg, amsl_m=0.0)
