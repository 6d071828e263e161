"""Field outlooks: when each field is open, and why not."""

from dataclasses import replace

import pytest

from farglide.air.column import Sounding
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.places.fieldviews import _never_level
from farglide.sim.core.losses import LOSS_STEP_M
from farglide.sortie.grain import Grain


@pytest.mark.parametrize(("share", "expected"), [(0.02, False), (0.6, True)])
def test_a_few_bad_drops_are_not_the_reason(
    share: float, expected: bool, demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    ensemble: Ensemble = drawn_ensemble(demo_flight.sortie, demo_sounding, asked)
    lost_m = ensemble.reach.losses.lost_m.copy()
    lost_m[: round(share * len(lost_m))] = float("nan")
    losses = ensemble.reach.losses._replace(lost_m=lost_m)
    hurt = replace(ensemble, reach=replace(ensemble.reach, losses=losses))
    assert _never_level(hurt, 20_000.0) is expected


def test_between_a_level_drop_and_none_there_is_none(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    """The law is not a number as soon as one node beside it is none."""
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    ensemble: Ensemble = drawn_ensemble(demo_flight.sortie, demo_sounding, asked)
    lost_m = ensemble.reach.losses.lost_m.copy()
    lost_m[:, 3:] = float("nan")
    losses = ensemble.reach.losses._replace(lost_m=lost_m)
    hurt = replace(ensemble, reach=replace(ensemble.reach, losses=losses))
    base_m = ensemble.air.column.layers.base_amsl_m
    assert not _never_level(hurt, base_m + 2.0 * LOSS_STEP_M)
    assert _never_level(hurt, base_m + 2.1 * LOSS_STEP_M)
