"""Ascent: the speed at which weight, lift and drag of a balloon balance."""

from typing import Final, NamedTuple

import numpy as np

from farglide.air.between import AirAt
from farglide.arrays import FloatArray
from farglide.balloon.envelope import Envelope, _diameter_m, _film_pressure_pa
from farglide.errors import InputError
from farglide.kernel import merged, merged_law

N_BALANCE: Final = 2048  # bends of a drag curve are met to 3 parts in 10 000
_LOWEST_REYNOLDS: Final = 10.0
_HIGHEST_REYNOLDS: Final = 1.0e8


class Balance(NamedTuple):
    """Reynolds number against the balance number C_d Re^2, both as natural logarithms.

    The drag balance of a sphere, F = (pi/8) C_d rho v^2 D^2, depends on C_d Re^2 = 8 F rho /
    (pi mu^2) alone, so one table look-up replaces the iteration for the speed.
    """

    first_log: float
    step_log: float
    log_reynolds: FloatArray


def balance_of(drag_table: tuple[tuple[float, float], ...]) -> Balance:
    """Return the balance table of a drag curve given as (Reynolds number, C_d) points.

    C_d is linear in ln Re between points and constant outside. Where the curve falls so steeply
    that several speeds balance (a drag crisis), the slowest is taken: a balloon let go at rest
    meets it first. Valid: Re 1 to 1e8, C_d 0.02 to 5, rising Re.
    """
    reynolds = np.array([point[0] for point in drag_table], dtype=np.float64)
    drag = np.array([point[1] for point in drag_table], dtype=np.float64)
    if len(drag_table) < 1:
        raise InputError("drag_table", "empty", "one (Reynolds number, C_d) point or more")
    if not (np.diff(reynolds) > 0.0).all() or not ((reynolds >= 1.0) & (reynolds <= 1e8)).all():
        raise InputError("drag_table", reynolds.tolist(), "rising Reynolds numbers, 1 to 1e8")
    if not ((drag >= 0.02) & (drag <= 5.0)).all():
        raise InputError("drag_table", drag.tolist(), "C_d of 0.02 to 5")
    log_re = np.linspace(np.log(_LOWEST_REYNOLDS), np.log(_HIGHEST_REYNOLDS), 4 * N_BALANCE)
    log_balance = np.log(np.interp(log_re, np.log(reynolds), drag)) + 2.0 * log_re
    from_below = np.maximum.accumulate(log_balance)
    keep = np.concatenate([[True], np.diff(from_below) > 0.0])
    grid = np.linspace(from_below[0], from_below[-1], N_BALANCE)
    return Balance(
        float(grid[0]), float(grid[1] - grid[0]), np.interp(grid, from_below[keep], log_re[keep])
    )


@merged
def _log_reynolds(balance: Balance, log_number: float) -> float:
    """Return ln Re where ln(C_d Re^2) equals `log_number`, at the ends of the table its ends."""
    x = (log_number - balance.first_log) / balance.step_log
    x = min(max(x, 0.0), N_BALANCE - 1.000001)
    i = int(x)
    w = x - i
    return (1.0 - w) * balance.log_reynolds[i] + w * balance.log_reynolds[i + 1]


@merged_law
def _balance_mps(
    balance: Balance, lift_n: float, diameter_m: float, air: AirAt, drag_factor: float
) -> float:
    """Return the steady speed of a sphere under a net lift; negative lift sinks.

    Source: force balance of a sphere, F = C_d (rho/2) v^2 pi D^2/4.
    """
    rho_kgpm3, viscosity_pas = air.rho_kgpm3, air.viscosity_pas
    pull_n = abs(lift_n)
    if pull_n < 1e-9:
        return 0.0
    number = 8.0 * pull_n * rho_kgpm3 / (np.pi * viscosity_pas * viscosity_pas * drag_factor)
    reynolds = np.exp(_log_reynolds(balance, np.log(number)))
    speed = reynolds * viscosity_pas / (rho_kgpm3 * diameter_m)
    return speed if lift_n > 0.0 else -speed


@merged
def _displaced(
    envelope: Envelope, gas_kg: float, air: AirAt, guess_m: float
) -> tuple[float, float]:
    """Return the mass of air displaced and the diameter, by two steps from a guessed diameter.

    The film's overpressure squeezes the gas: V = m R T_gas / (p + dp(D)).
    """
    warm = 1.0 + envelope.gas_warmer_k / air.t_k
    slack_kg = gas_kg * envelope.gas_per_air_constant * warm
    air_kg = _squeezed_kg(envelope, slack_kg, air.p_pa, guess_m)
    if envelope.film_npm > 0.0:
        air_kg = _squeezed_kg(envelope, slack_kg, air.p_pa, _diameter_m(air_kg / air.rho_kgpm3))
    return air_kg, _diameter_m(air_kg / air.rho_kgpm3)


@merged
def _squeezed_kg(envelope: Envelope, slack_kg: float, p_pa: float, diameter_m: float) -> float:
    """Return the mass of air displaced by gas in a film of this diameter."""
    if envelope.film_npm <= 0.0:
        return slack_kg
    slack_m = envelope.slack_diameter_m
    pulled_pa = _film_pressure_pa(diameter_m / slack_m, envelope.film_npm, slack_m)
    return slack_kg * p_pa / (p_pa + pulled_pa)
