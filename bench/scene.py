"""The demo flight set up for measuring."""

from typing import Any

from farglide.chances.stage import set_stage
from farglide.cli.plan import DEMO
from farglide.compute import on_threads
from farglide.flightfile.flightfile import read_flight_file
from farglide.gather.gather import gather
from farglide.sim.fly.climb import from_hand
from farglide.sim.fly.flight import Fleet, Gear, Orders, climbing
from farglide.sim.fly.glide import Craft
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.speeds import speeds_of
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
    """Gear and orders of whole flights home from one release time, and where they begin."""
    speeds = speeds_of(stage.scene.layers, Craft(stage.polar, stage.limits, 1.0))
    drawn = stage.drawn
    fleet = Fleet(stage.polar, stage.drop, drawn.glide_factor, drawn.drop_drag, drawn.reaction_s)
    goal = Goal(
        north_rad=float(stage.goals.north_rad[0]),
        east_rad=float(stage.goals.east_rad[0]),
        ground_amsl_m=float(stage.goals.ground_amsl_m[0]),
        circle_load=1.155,
        circle_eas_mps=11.0,
        top_eas_mps=stage.limits.top_eas_mps,
    )
    orders = Orders(release_s, goal, stage.best_eas_mps, remains_area_m2=0.2)
    begins = climbing(from_hand(drawn.swarm, stage.sortie.launch.amsl_m))
    return (Gear(stage.balloon, fleet, speeds), orders), begins
