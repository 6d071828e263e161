"""Trials of the demo that changes are compared with, for the tests of plan."""

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import pytest

from farglide.air.sounding import Sounding
from farglide.chances.case import with_plain
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.trial import Trial, summed_up
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.fields import FieldOutlook
from farglide.outlook.outlook import Outlook
from farglide.plan.plan import plan
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

from ..reading import answer_lines


@pytest.fixture(scope="session")
def base(demo_flight: FlightFile, demo_sounding: Sounding) -> Trial:
    """Return the demo as coarsely as trials are, without ears."""
    grain = Grain(n_draws=100, clock_s=60.0, prices_mps=(4.0, 12.0, 30.0, 100.0, 1000.0), slab=5)
    return summed_up(drawn_ensemble(demo_flight.sortie, demo_sounding, grain))


@pytest.fixture(scope="session")
def loose(base: Trial, demo_sounding: Sounding) -> Trial:
    """Return the trial with every number away from its bound, so that a shift can move it."""
    sortie = base.ensemble.sortie
    glider = replace(sortie.glider, span_efficiency=0.75, flown_ratio=0.85)
    heading = replace(sortie.drop.heading_s, value=30.0, sd=10.0)
    warm = replace(sortie.balloon.gas_warmer_k, value=5.0, sd=2.0)
    free = replace(
        sortie,
        glider=glider,
        drop=replace(sortie.drop, heading_s=heading),
        balloon=replace(
            sortie.balloon, gas_warmer_k=warm, early_burst_ratio=Known(value=0.03, sd=0.02)
        ),
    )
    return summed_up(drawn_ensemble(free, demo_sounding, base.ensemble.grain))


@pytest.fixture(scope="session")
def alike() -> Callable[[Trial, Trial], bool]:
    """Return a function that tells whether two trials agree in every bit."""

    def same(a: Trial, b: Trial) -> bool:
        for name in (one for one in Chances.__slots__ if one != "holding"):
            if getattr(a.chances, name).tobytes() != getattr(b.chances, name).tobytes():
                return False
        return (a.chance_ratio, a.shut_s, a.release_by_s) == (
            b.chance_ratio,
            b.shut_s,
            b.release_by_s,
        )

    return same


@pytest.fixture(scope="session")
def plain(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    """Return the flight of the demo without errors, without ears."""
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    return with_plain(drawn_ensemble(demo_flight.sortie, demo_sounding, asked)).plain


def told(sortie: Sortie, sounding: Sounding) -> tuple[Outlook, str]:
    outlook = plan(sortie, Pack(sounding=sounding), Grain(n_draws=60))
    return outlook, " ".join(" ".join(answer_lines(outlook)).split())


def steps(field: FieldOutlook, chance: float) -> FieldOutlook:
    """Return the field with one chance at every height."""
    return replace(field, steps=tuple(replace(one, chance_ratio=chance) for one in field.steps))


def said(outlook: Outlook) -> str:
    """Return the readable answer with its line breaks taken out."""
    return " ".join(" ".join(answer_lines(outlook)).split())


def assert_bands_cover(outlook: Outlook) -> None:
    """Bands begin at the launch, follow one another in time and end alike for all fields."""
    for field in outlook.fields:
        assert field.bands[0].from_after_launch_s == 0.0
        for band, following in pairwise(field.bands):
            assert band.to_after_launch_s == following.from_after_launch_s
            assert band.to_amsl_m == following.from_amsl_m
            assert band.state != following.state
        for band in field.bands:
            assert band.from_after_launch_s < band.to_after_launch_s
            assert (band.reason == "") == (band.state == "open")
    assert len({field.bands[-1].to_after_launch_s for field in outlook.fields}) <= 1
