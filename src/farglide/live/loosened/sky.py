"""Sky: where the sun stands for the glider's way to the field it is steered for."""

from farglide.earth.geodesy import geodesic
from farglide.earth.state import place_of
from farglide.live.asked.sky import Sky, Toward, steered_deg, sun_of
from farglide.live.loosened.flight import LooseFlight
from farglide.outlook.after import Stage
from farglide.outlook.asked import SunNow


def sun_after(asked: LooseFlight) -> SunNow:
    """Return where the sun stands from where the glider is, the field steered for first.

    Where none is in reach, the one with the best chance. Headings allow for the wind there at the
    airspeed that is advised, else at the flattest glide's.
    """
    sortie, fields = asked.sortie, asked.advice.fields
    first = asked.aim
    if first is None:
        best = max(fields, key=lambda one: one.chance_ratio).name
        first = next(f for f, one in enumerate(sortie.fields) if one.name == best)
    refused = {one.name for one in sortie.fields} - {one.name for one in fields}
    others = (f for f, one in enumerate(sortie.fields) if f != first and one.name not in refused)
    airspeed_mps, told = _airspeed_mps(asked), {one.name: one for one in fields}
    return sun_of(
        Sky(
            launch=asked.launch,
            now_t_s=asked.now_t_s,
            place=asked.place,
            amsl_m=asked.place.amsl_m,
            wind=asked.wind(asked.place.amsl_m),
            toward=tuple(
                Toward(sortie.fields[f], airspeed_mps, told[sortie.fields[f].name])
                for f in (first, *others)
            ),
        )
    )


def heading_deg(asked: LooseFlight) -> float | None:
    """Return where a glider on its way as advised points, true; None of what does not glide."""
    if asked.aim is None or asked.advice.stage not in (Stage.GLIDING, Stage.UNSTEERED):
        return None
    field = place_of(asked.sortie.fields[asked.aim], 0.0)
    course = geodesic(place_of(asked.place, 0.0), field).azimuth_deg
    return steered_deg(course, asked.wind(asked.place.amsl_m), _airspeed_mps(asked))


def _airspeed_mps(asked: LooseFlight) -> float:
    steer = asked.after.steer
    return asked.tas_mps(asked.plain.craft.best_eas_mps if steer is None else steer.eas_mps)
