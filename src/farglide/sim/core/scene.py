"""Scene: the air and the earth of one flight, and what varies in it from draw to draw."""

from typing import NamedTuple

from farglide.air.layers import Layers
from farglide.arrays import FloatArray, IntArray, SingleArray
from farglide.balloon.ascent import Balance
from farglide.balloon.envelope import Envelope
from farglide.errors import InputError
from farglide.kernel import compiled, inlined
from farglide.sim.core.cube import Cube
from farglide.sim.core.step import Errors, Frame


class Scene(NamedTuple):
    """The air and the earth of one flight, shared by all draws."""

    layers: Layers
    frame: Frame
    cube: Cube


class Swarm(NamedTuple):
    """What varies from draw to draw of the balloon and the air, first axis the draw.

    Errors of the air, m/s, have shape (n_draws, n_layers). A layer is passed twice, and on the way
    home its wind has changed by what the weather and its waves change in the time between.
    """

    gas_kg: FloatArray
    drag_factor: FloatArray
    burst_diameter_m: FloatArray
    gas_warmer_k: FloatArray
    climb_factor: FloatArray  # (n_draws, n_bands): speed upward over that of the drag curve
    out_east_mps: SingleArray  # on the way up
    out_north_mps: SingleArray
    home_east_mps: SingleArray  # on all ways down
    home_north_mps: SingleArray
    rise_mps: SingleArray  # of the air itself, both ways
    number: IntArray  # (n_draws,): of each draw; by it a draw takes a member of the forecast


class Balloon(NamedTuple):
    """A balloon, of all draws or of one, and what hangs below it."""

    envelope: Envelope
    balance: Balance
    hanging_kg: float
    climb_factor: FloatArray  # (n_bands,): speed upward over that of the drag curve


def check_in_air(scene: Scene, name: str, amsl_m: float) -> None:
    """Refuse a height below the column, which no march would ever come down to."""
    base_m = scene.layers.base_amsl_m
    if not amsl_m >= base_m:
        allowed = f"{base_m:g} m or more, where the air begins"
        raise InputError(name, f"{amsl_m:g} m", allowed)


@inlined  # pasted in: what inner kernels call hands back no arrays
def _errors_out(swarm: Swarm, i: int) -> Errors:
    east, north = swarm.out_east_mps[i], swarm.out_north_mps[i]
    return Errors(east, north, swarm.rise_mps[i], swarm.number[i])


@inlined
def _errors_home(swarm: Swarm, i: int) -> Errors:
    return Errors(
        swarm.home_east_mps[i], swarm.home_north_mps[i], swarm.rise_mps[i], swarm.number[i]
    )


@compiled
def _envelope(swarm: Swarm, common: Envelope, i: int) -> Envelope:
    return Envelope(
        common.balloon_kg,
        swarm.gas_kg[i],
        common.gas_per_air_constant,
        swarm.gas_warmer_k[i],
        common.film_npm,
        common.slack_diameter_m,
        swarm.burst_diameter_m[i],
        swarm.drag_factor[i],
        common.leak_ratio_ps,
        common.leak_from_s,
    )


@inlined  # pasted in: what inner kernels call hands back no arrays
def own_balloon(swarm: Swarm, common: Balloon, i: int) -> Balloon:
    """Return the balloon of draw `i`."""
    envelope = _envelope(swarm, common.envelope, i)
    return Balloon(envelope, common.balance, common.hanging_kg, swarm.climb_factor[i])
