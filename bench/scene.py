"""The demo flight set up for measuring."""

from typing import Any

from farglide.chances.ensemble import drawn_ensemble
from farglide.cli.plan import DEMO
from farglide.compute import on_threads
from farglide.flightfile.flightfile import read_flight_file
from farglide.gather.gather import gather
from farglide.sim.core.losses import Fleet
from farglide.sim.fly.climb import from_hand
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.orders import Gear, Orders, climbing
from farglide.sortie.grain import Grain


def demo_ensemble(n_draws: int, n_threads: int = 2, **asked: Any) -> Any:
    """The ensemble of the demo with its own draws."""
    flight = read_flight_file(DEMO)
    winds = DEMO.with_name("amber-evening-winds.csv")
    pack = gather(flight.sortie, winds)
    return drawn_ensemble(
        flight.sortie, pack.sounding, Grain(n_draws=n_draws, **asked), on_threads(n_threads)
    )


def flight_parts(ensemble: Any, release_s: float = 4500.0) -> Any:
    """Gear and orders of whole flights home from one release time, and where they begin."""
    speeds = ensemble.reach.reaches.speeds
    drawn, craft = ensemble.draws, ensemble.craft
    fleet = Fleet(craft.polar, craft.drop, drawn.glide_factor, drawn.drop_drag)
    goal = Goal(
        north_rad=float(ensemble.goals.north_rad[0]),
        east_rad=float(ensemble.goals.east_rad[0]),
        ground_amsl_m=float(ensemble.goals.ground_amsl_m[0]),
        circle_load=1.155,
        circle_eas_mps=11.0,
    )
    orders = Orders(release_s, goal, ensemble.craft.best_eas_mps, remains_area_m2=0.2)
    begins = climbing(from_hand(drawn.swarm, ensemble.sortie.launch.amsl_m))
    return Gear(ensemble.climbs.balloon, fleet, speeds, drawn.reaction_s), orders, begins
