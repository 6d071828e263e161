"""The timed glides of a flight file turned into the polar of its sortie."""

import math
from dataclasses import replace
from typing import Final

from farglide.flightfile.flightfile import FlightFile, InputLine
from farglide.glider.fit import TimedGlide, WingMeasures, fit_polar
from farglide.sortie.known import Known

# From a field at Re 150 000 to 20 000 in the stratosphere, on a guessed exponent: the doubt that no
# glide near the ground can take away (common practice, no source).
_ELSEWHERE_RATIO: Final = 0.05


def with_fitted_polar(flight: FlightFile) -> FlightFile:
    """Return the flight with the polar that its timed glides give; without glides, as it is.

    The drag found holds at and above the Reynolds number at which the glides were flown, and
    the glide factor takes over the doubt of the fit, unless the file states one. The air of each
    glide is the standard one of its height: a warm day moves speeds by some 2 %.
    """
    if not flight.timed_glides:
        return flight
    glider = flight.sortie.glider
    wing = WingMeasures(
        mass_kg=glider.mass_kg, area_m2=glider.area_m2, aspect_ratio=glider.aspect_ratio
    )
    fit = fit_polar(_in_their_air(flight), wing)
    found = {
        "zero_lift_drag": Known(value=fit.zero_lift_drag, sd=fit.zero_lift_drag_sd),
        "span_efficiency_ratio": Known(value=fit.span_efficiency, sd=fit.span_efficiency_sd),
        "reference_reynolds": Known(value=fit.reynolds),
        "glide_factor": Known(value=1.0, sd=math.hypot(fit.best_glide_sd_ratio, _ELSEWHERE_RATIO)),
    }
    if flight.glide_factor_given:
        found["glide_factor"] = glider.glide_factor
    fitted = replace(
        glider,
        zero_lift_drag=fit.zero_lift_drag,
        span_efficiency=fit.span_efficiency,
        reference_reynolds=fit.reynolds,
        glide_factor=found["glide_factor"],
    )
    tags = {f"glider.{key}": known.tag for key, known in found.items()}
    sortie = replace(flight.sortie, glider=fitted, tags=flight.sortie.tags | tags)
    inputs = tuple(_line(line, found.get(line.row.key)) for line in flight.inputs)
    return replace(flight, sortie=sortie, inputs=inputs)


def _in_their_air(flight: FlightFile) -> list[TimedGlide]:
    # only where glides were timed: a check of any other file does without the compiler
    from farglide.air.standard import standard_air

    pairs = zip(flight.timed_glides, flight.glides_amsl_m, strict=True)
    return [replace(glide, air_kgpm3=standard_air(amsl_m).rho_kgpm3) for glide, amsl_m in pairs]


def _line(line: InputLine, known: Known | None) -> InputLine:
    if known is None or line.section != "glider":
        return line
    number = replace(line.number, value=known.value, sd=known.sd, tag=known.tag, fitted=True)
    return replace(line, number=number)
