"""Members: an ensemble's spread in place of drawn deep errors, widened where too narrow."""

from dataclasses import replace

import numpy as np
import pytest
from tests.around import around

from farglide.air.sounding import Sounding
from farglide.air.windgrid import WindGrid
from farglide.chances.ensemble import Ensemble, drawn_ensemble, plain_ensemble
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.rig.airdoubts import air_doubts_of
from farglide.rig.members import with_members
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Launch

GRAIN = Grain(n_draws=100, prices_mps=(8.0,), slab=5)


def members(sounding: Sounding, launch: Launch, n: int, sd_mps: float) -> WindGrid:
    """Return forecasts that differ by one number each to east and north, at every height."""
    one = around(sounding, launch, 0.0, 0.0)
    off = sd_mps * np.random.default_rng(2).standard_normal((2, n, 1, 1, 1, 1))
    fields = {name: np.repeat(getattr(one, name), n, axis=0) for name in ("gph_m", "t_k")}
    u, v = ((np.repeat(winds, n, axis=0) + more).astype(np.float32)
            for winds, more in zip((one.u_mps, one.v_mps), off, strict=True))  # fmt: skip
    names = tuple(f"gep{k:02d}" for k in range(n))
    return replace(one, members=names, u_mps=u, v_mps=v, **fields)


def ensemble_of(demo_flight: FlightFile, winds: Sounding) -> Ensemble:
    return drawn_ensemble(demo_flight.sortie, winds, GRAIN)


def test_a_wide_spread_is_taken_as_it_is(demo_flight: FlightFile, demo_sounding: Sounding) -> None:
    sortie = demo_flight.sortie
    grid = members(demo_sounding, sortie.launch, 20, 12.0)
    plain = plain_ensemble(sortie, demo_sounding, GRAIN)
    column, climb = plain.air.column, plain.climbs.tracks
    doubts = with_members(air_doubts_of(sortie, column), grid, sortie, column, climb)
    assert doubts.members is not None
    east = (grid.u_mps - grid.u_mps.mean(axis=0))[:, 0, 0, 0, 0]
    for found in doubts.members.out_mps[0], doubts.members.home_mps[0]:
        assert found[:, 100] == pytest.approx(east, abs=1e-3)
    assert doubts.members.out_mps.sum(axis=1) == pytest.approx(0.0, abs=1e-3)


def test_a_narrow_spread_is_spread_out_to_the_law(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    sortie = demo_flight.sortie
    plain = plain_ensemble(sortie, demo_sounding, GRAIN)
    column, climb = plain.air.column, plain.climbs.tracks
    law = air_doubts_of(sortie, column)
    grid = members(demo_sounding, sortie.launch, 20, 0.3)
    found = with_members(law, grid, sortie, column, climb).members
    assert found is not None
    sd = np.sqrt(np.square(found.out_mps).sum(axis=(0, 1)) / (2.0 * 19.0))
    wanted = np.sqrt(0.5 * (law.deep_mps**2 + law.deep_along_mps**2))
    kilometre = np.arange(30, 300)
    assert sd[kilometre] == pytest.approx(wanted[kilometre], rel=0.12)  # told over 3 km
    rms = [np.sqrt(np.square(one[kilometre]).mean()) for one in (sd, wanted)]
    assert rms[0] == pytest.approx(rms[1], rel=0.02)


def test_members_that_are_all_alike_leave_the_law(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    grid = members(demo_sounding, demo_flight.sortie.launch, 10, 0.0)
    alone = ensemble_of(demo_flight, demo_sounding).draws.swarm
    alike = ensemble_of(demo_flight, replace(demo_sounding, members=grid)).draws.swarm
    np.testing.assert_array_equal(alike.out_east_mps, alone.out_east_mps)


def test_draws_take_the_members_in_turn(demo_flight: FlightFile, demo_sounding: Sounding) -> None:
    grid = members(demo_sounding, demo_flight.sortie.launch, 10, 12.0)
    doubt = replace(demo_flight.sortie.doubt, shallow_wind_mps=0.0)
    flight = replace(demo_flight, sortie=replace(demo_flight.sortie, doubt=doubt))
    swarm = ensemble_of(flight, replace(demo_sounding, members=grid)).draws.swarm
    np.testing.assert_allclose(swarm.out_east_mps[:10], swarm.out_east_mps[70:80], atol=1e-5)
    assert len(np.unique(np.round(swarm.out_east_mps[:, 100], 4))) == 10
    # the same errors on the way home, as these members differ alike at all times
    off = swarm.home_east_mps - swarm.out_east_mps
    assert np.abs(off[:, 100] - off[:, 100].mean()).max() < 0.01


def test_two_members_tell_no_spread(demo_flight: FlightFile, demo_sounding: Sounding) -> None:
    grid = members(demo_sounding, demo_flight.sortie.launch, 4, 1.0)
    with pytest.raises(InputError, match="members is 4; allowed: 5 or more"):
        ensemble_of(demo_flight, replace(demo_sounding, members=grid))
