"""The demo flight set up for measuring."""

from typing import Any

from farglide.chances.stage import set_stage
from farglide.cli.plan import DEMO
from farglide.compute import on_threads
from farglide.flightfile.flightfile import read_flight_file
from farglide.gather.gather import gather
from farglide.sim.fly.flight import Craft, Orders
from farglide.sim.fly.prepass import glide_of, rise_of
from farglide.sortie.grain import Asked


def demo_stage(n_draws: int, n_threads: int = 2, **asked: Any) -> Any:
    """The stage of the demo with its own draws."""
    flight = read_flight_file(DEMO)
    winds = DEMO.with_name("amber-evening-winds.csv")
    pack = gather(flight.sortie, winds)
    return set_stage(
        flight.sortie, pack.sounding, Asked(n_draws=n_draws, **asked), on_threads(n_threads)
    )


def flight_parts(stage: Any, release_s: float = 4500.0) -> Any:
    """Prepass, gear and orders of whole flights home from one release time."""
    prepass = (
        rise_of(stage.scene.layers, stage.balloon.balance),
        glide_of(stage.scene.layers, stage.polar, stage.limits, 1.0),
    )
    drawn = stage.drawn
    craft = Craft(stage.polar, stage.drop, drawn.glide_factor, drawn.drop_drag, drawn.reaction_s)
    orders = Orders(
        release_s=release_s,
        north_rad=float(stage.goals.north_rad[0]),
        east_rad=float(stage.goals.east_rad[0]),
        ground_amsl_m=float(stage.goals.ground_amsl_m[0]),
        circle_load=1.155,
        circle_eas_mps=11.0,
        top_eas_mps=stage.limits.top_eas_mps,
        best_eas_mps=stage.best_eas_mps,
        remains_area_m2=0.2,
    )
    return prepass, (stage.balloon, craft, stage.sortie.launch.amsl_m), orders
