"""The demo flight on its ensemble, and the plain twin glider, for the tests of reach and doors."""

import importlib.util
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from farglide.arrays import FloatArray
from farglide.chances import making
from farglide.chances.ensemble import Ensemble, drawn_ensemble, plain_ensemble, with_winds
from farglide.cli.inputs import gather_pack
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.box import Box
from farglide.flightfile.flightfile import FlightFile
from farglide.radio.link import Link, Receiver, Sender
from farglide.sim.core.airerrors import AirErrors
from farglide.sim.core.draws import Drawn, draw
from farglide.sim.hear.ears import waves_of
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

EARTH_M = 4.0 / 3.0 * MEAN_EARTH_RADIUS_M
CUT = Box(south_deg=36.827, west_deg=-118.901, north_deg=37.0245, east_deg=-118.7035)
"""Mountains of the real ground beside the tests."""


def link(frequency_hz: float) -> Link:
    """Return a picture link at a frequency."""
    return Link(
        name="picture",
        purpose="picture",
        frequency_hz=frequency_hz,
        bandwidth_hz=16e6,
        sender=Sender(power_w=0.8, gain_dbi=2.0),
        receiver=Receiver(gain_dbi=18.0, loss_db=2.0, noise_figure_db=2.0, needed_ratio_db=9.0),
    )


LINKS = (link(2370e6), link(869.5e6))
WAVES = waves_of(LINKS, (0.0, 0.0))


@pytest.fixture(scope="session")
def plain_glide() -> ModuleType:
    path = Path(__file__).parents[1] / "plain_glide.py"
    spec = importlib.util.spec_from_file_location("plain_glide", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def demo(demo_flight: FlightFile) -> tuple[Sortie, Pack]:
    """Return the demo flown up to its limits, as its printed times were computed."""
    glider = replace(demo_flight.sortie.glider, speed_margin_ratio=0.0)
    return replace(demo_flight.sortie, glider=glider), gather_pack(demo_flight, None)


@pytest.fixture(scope="session")
def calm_demo(demo: tuple[Sortie, Pack]) -> Ensemble:
    """Return the demo without any error, with the energy of slowing down."""
    sortie, pack = demo
    return plain_ensemble(sortie, pack.sounding, Grain(clock_s=30.0))


@pytest.fixture(scope="session")
def drawn_demo(demo: tuple[Sortie, Pack]) -> Ensemble:
    """Return the demo in fifty draws."""
    sortie, pack = demo
    return drawn_ensemble(sortie, pack.sounding, Grain(n_draws=50, seed=3, clock_s=60.0))


@pytest.fixture(scope="session")
def smoothly_drawn() -> Callable[..., Ensemble]:
    """Return a function that draws a flight in errors that are smooth over a kilometre.

    For proofs against what knows no layers: it would lose of all that changes from one to the next.
    """

    def made(sortie: Sortie, pack: Pack, grain: Grain) -> Ensemble:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(making, "draw", lambda *given: _smoothed(draw(*given)))
            return drawn_ensemble(sortie, pack.sounding, grain)

    return made


def _smoothed(drawn: Drawn) -> Drawn:
    """Return draws whose air runs by straight lines between every tenth layer."""
    smooth = {}
    for name in AirErrors._fields:
        errors = getattr(drawn.swarm, name)
        layers = np.arange(errors.shape[1])
        rows = [np.interp(layers, layers[::10], one[::10]) for one in errors]
        smooth[name] = np.array(rows, dtype=np.float32)
    return drawn._replace(swarm=drawn.swarm._replace(**smooth))


@pytest.fixture(scope="session")
def smooth_demo(demo: tuple[Sortie, Pack], smoothly_drawn: Callable[..., Ensemble]) -> Ensemble:
    """Return the demo in fifty draws with smooth errors."""
    return smoothly_drawn(*demo, Grain(n_draws=50, seed=3, clock_s=60.0))


@pytest.fixture(scope="session")
def low_demo(demo: tuple[Sortie, Pack]) -> Ensemble:
    """Return the demo in simplified laws, which its printed times were computed with.

    No errors, no energy from slowing down, a climb that starts at height 0.
    """
    sortie, pack = demo
    low = replace(sortie, launch=replace(sortie.launch, amsl_m=0.0))
    return plain_ensemble(low, pack.sounding, Grain(slowing=False))


def in_winds(ensemble: Ensemble, east_mps: FloatArray, north_mps: FloatArray) -> Ensemble:
    """Return an ensemble whose reach is summed in other winds; the climbs stay what they were."""
    layers = ensemble.air.scene.layers
    blown = layers._replace(u_mps=east_mps, v_mps=north_mps)
    air = replace(ensemble.air, scene=ensemble.air.scene._replace(layers=blown))
    return with_winds(ensemble, air, ensemble.draws)


@pytest.fixture(scope="session")
def blown_by() -> Callable[[Ensemble, FloatArray, FloatArray], Ensemble]:
    """Return what sums an ensemble's reach anew in other winds."""
    return in_winds
