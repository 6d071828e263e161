"""A slow leak found by the climb: when, how fast, and where it tops out."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ahead import ahead, aloft_at
from farglide.chances.ensemble import Ensemble, drawn_ensemble, plain_ensemble
from farglide.chances.informed import informed
from farglide.chances.leaking import begun_s, leaks_in
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie
from farglide.track.drift import Been

FROM_S, RATIO_PS = 38.0 * 60.0, 0.00034
FINE = Grain(clock_s=10.0, prices_mps=(8.0,), slab=5)


@pytest.fixture(scope="module")
def low(sortie: Sortie) -> Sortie:
    """Return the demo from height 0, as its figures were computed elsewhere."""
    return replace(sortie, links=(), stands=(), terrain=None,
                   launch=replace(sortie.launch, amsl_m=0.0))  # fmt: skip


@pytest.fixture(scope="module")
def before(low: Sortie, demo_sounding: Sounding) -> Ensemble:
    return drawn_ensemble(low, demo_sounding, Grain(n_draws=300, prices_mps=(8.0,), slab=5))


@pytest.fixture(scope="module")
def holed(low: Sortie, demo_sounding: Sounding) -> Been:
    """Return two hours of the climb without errors, with a hole from T+38 on."""
    whole = plain_ensemble(low, demo_sounding, FINE)
    moment = round(FROM_S / FINE.clock_s)
    balloon = whole.climbs.balloon
    envelope = balloon.envelope._replace(leak_ratio_ps=RATIO_PS, leak_from_s=FROM_S)
    leaking = replace(
        whole, climbs=replace(whole.climbs, balloon=balloon._replace(envelope=envelope))
    )
    widest_m = np.nanmax(whole.climbs.tracks.diameter_m[:, : moment + 1], axis=1)
    later = ahead(leaking, aloft_at(whole, moment), widest_m, 7200.0).climbs.tracks
    n = min(later.amsl_m.shape[1], whole.climbs.tracks.amsl_m.shape[1])
    rows = [
        np.where(np.arange(n) < moment, first[0, :n], then[0, :n])
        for first, then in zip(whole.climbs.tracks.places, later.places, strict=True)
    ]
    return Been(FINE.clock_s * np.arange(n), *rows)


def until(been: Been, minutes: float) -> Been:
    return Been(*(one[been.t_s <= 60.0 * minutes] for one in been))


def test_a_climb_that_falls_off_is_told_as_a_leak_in_time(before: Ensemble, holed: Been) -> None:
    """Watch by T+48, and a leak for sure at T+52.4, as in the figures computed elsewhere."""
    assert leaks_in(before, until(holed, 38.0)).chance_ratio < 0.02
    assert leaks_in(before, until(holed, 48.0)).chance_ratio > 0.5
    sure = leaks_in(before, until(holed, 52.4))
    assert sure.chance_ratio > 0.9
    assert begun_s(sure) == pytest.approx(FROM_S, abs=360.0)
    typical = float(sure.weight.sum(axis=1) @ sure.ratio_ps)
    assert typical == pytest.approx(RATIO_PS, rel=0.25)


@pytest.mark.parametrize(
    ("minutes", "wanted", "within"),
    [(52.0, (21.0, 25.5), 3.0), (62.0, (23.1, 24.6), 1.5), (82.0, (24.2, 24.6), 0.5)],
)  # fmt: skip
def test_where_it_tops_out_is_told_nearer_and_nearer(
    before: Ensemble, holed: Been, minutes: float, wanted: tuple[float, ...], within: float
) -> None:
    """Tops of 10 and 50 %, km, fitted elsewhere at T+52 and T+62 to means over a minute."""
    found = informed(before, until(holed, minutes), 5.0, 10_000.0).ensemble.climbs.tracks
    tops_km = np.nanmax(found.amsl_m, axis=1) / 1e3
    said = np.quantile(tops_km, [0.1, 0.5])
    np.testing.assert_allclose(said, wanted, atol=within)
    assert said[0] < np.nanmax(holed.amsl_m) / 1e3 + 0.1


def test_sound_balloons_in_moving_air_raise_no_alarm(low: Sortie, demo_sounding: Sounding) -> None:
    """Twenty flights of the same doubts in air that rises and sinks by 0.5 m/s over minutes."""
    before = drawn_ensemble(low, demo_sounding, Grain(n_draws=300, prices_mps=(8.0,), slab=5))
    truths = drawn_ensemble(low, demo_sounding, replace(FINE, n_draws=50, seed=31))
    tracks, rng, keep = truths.climbs.tracks, np.random.default_rng(4), np.exp(-10.0 / 180.0)
    alarms = 0
    for i in range(20):
        n = 6 * 65
        wave = np.zeros(n)
        for k in range(1, n):
            wave[k] = keep * wave[k - 1] + np.sqrt(1.0 - keep**2) * rng.standard_normal()
        shaken = tracks.amsl_m[i, :n] + np.cumsum(10.0 * 0.5 * wave)
        been = Been(10.0 * np.arange(n), np.maximum(shaken, 0.0), 0 * wave, 0 * wave)
        alarms += any(
            leaks_in(before, until(been, m)).chance_ratio > 0.5 for m in (25, 35, 45, 55, 65)
        )
    assert alarms <= 1


def test_without_a_leak_all_draws_are_whole(before: Ensemble, holed: Been) -> None:
    found = informed(before, until(holed, 30.0), 5.0, 9000.0)
    assert found.leaks.chance_ratio < 0.1
    assert (np.nanmax(found.ensemble.climbs.tracks.amsl_m, axis=1) > 27_000.0).all()
