"""Lifting gas: density, lift, the bookkeeping of a fill, and what a bottle holds."""

import math
from dataclasses import dataclass
from typing import Final, Literal

from farglide.constants import (
    AIR_MOLAR_MASS_KGPMOL,
    HELIUM_MOLAR_MASS_KGPMOL,
    HYDROGEN_MOLAR_MASS_KGPMOL,
    MOLAR_GAS_CONSTANT_JPMOLK,
    SEA_LEVEL_PRESSURE_PA,
    SEA_LEVEL_TEMPERATURE_K,
)
from farglide.errors import InputError, check_range

Gas = Literal["helium", "hydrogen"]

MOLAR_MASS_KGPMOL: Final = {
    "helium": HELIUM_MOLAR_MASS_KGPMOL,
    "hydrogen": HYDROGEN_MOLAR_MASS_KGPMOL,
}
# Air in the gas: below four fifths it is no balloon gas, and hydrogen burns in air from 4 to 75 %
# by volume (basic hydrogen properties chart, h2tools.org, after NASA NSS 1740.16, 1997).
LEAST_PURITY_RATIO: Final = 0.8
# The heaviest neck lift and latex taken at face value: the largest sounding balloons weigh 3 kg and
# lift a few kilograms (common practice, no source), so more is a mix-up of grams and kilograms.
TOP_MASS_KG: Final = 15.0
EMPTY_BOTTLE_PA: Final = 20.0e5  # below, a bottle counts as empty; common practice, no source
TOP_BOTTLE_PA: Final = 350.0e5  # the equations below are checked up to here

# (a, b, c) of Z = 1 + sum a (100 K / T)^b (p / 1 MPa)^c for normal hydrogen.
# Lemmon, Huber and Leachman, J. Res. NIST 113 (2008) 341, its table as five open codes carry it; it
# gives all five check values of that paper to every digit.
_HYDROGEN_TERMS: Final = (
    (0.05888460, 1.325, 1.0),
    (-0.06136111, 1.87, 1.0),
    (-0.002650473, 2.5, 2.0),
    (0.002731125, 2.8, 2.0),
    (0.001802374, 2.938, 2.42),
    (-0.001150707, 3.14, 2.63),
    (0.9588528e-4, 3.37, 3.0),
    (-0.1109040e-6, 3.75, 4.0),
    (0.1264403e-9, 4.0, 5.0),
)
# Second and third virial coefficient of helium, (value at 288.15 K, slope per kelvin): straight
# lines through the coefficients of the reference equation of Ortiz-Vega (2013), as evaluated by
# CoolProp, at 250, 288.15 and 320 K; off by less than 0.1 % and 0.5 %.
_HELIUM_B_M3PMOL: Final = (11.886e-6, -4.0e-9)
_HELIUM_C_M6PMOL2: Final = (108.6e-12, -0.175e-12)


@dataclass(frozen=True, slots=True, kw_only=True)
class GasMix:
    """A lifting gas with its share by volume; the rest is dry air.

    >>> round(GasMix(gas="hydrogen").lift_kgpm3(101325.0, 288.15), 4)
    1.1397
    """

    gas: Gas
    purity_ratio: float = 1.0

    def __post_init__(self) -> None:
        if self.gas not in MOLAR_MASS_KGPMOL:
            raise InputError("gas", repr(self.gas), "'helium' or 'hydrogen'")
        if not LEAST_PURITY_RATIO <= self.purity_ratio <= 1.0:
            allowed = f"{LEAST_PURITY_RATIO} to 1, the share of the gas by volume"
            raise InputError("purity_ratio", self.purity_ratio, allowed, "Write 99.9 % as 0.999.")

    @property
    def molar_mass_kgpmol(self) -> float:
        """Return the mean molar mass, air share included."""
        pure = MOLAR_MASS_KGPMOL[self.gas]
        return self.purity_ratio * pure + (1.0 - self.purity_ratio) * AIR_MOLAR_MASS_KGPMOL

    @property
    def gas_constant_jpkgk(self) -> float:
        """Return the specific gas constant of the mixture."""
        return MOLAR_GAS_CONSTANT_JPMOLK / self.molar_mass_kgpmol

    def density_kgpm3(self, pressure_pa: float, temperature_k: float) -> float:
        """Return the density as an ideal gas.

        Valid: balloon pressures, up to 1.1 bar; real hydrogen and helium are 0.06 % thinner there.
        """
        _check_state(pressure_pa, temperature_k)
        return pressure_pa / (self.gas_constant_jpkgk * temperature_k)

    def lift_kgpm3(self, pressure_pa: float, temperature_k: float) -> float:
        """Return the mass one cubic metre lifts: dry air less gas, both at this state."""
        _check_state(pressure_pa, temperature_k)
        moles_pm3 = pressure_pa / (MOLAR_GAS_CONSTANT_JPMOLK * temperature_k)
        return moles_pm3 * (AIR_MOLAR_MASS_KGPMOL - self.molar_mass_kgpmol)

    def compressibility_ratio(self, pressure_pa: float, temperature_k: float) -> float:
        """Return Z = p V / (n R T) of the lifting gas.

        The air share counts as compressible as the gas: at 95 % that is wrong by less than 0.7 %.
        Valid: 0 to 350 bar absolute, 250 to 320 K. Source: see the coefficients above.
        """
        _check_bottle_state(pressure_pa, temperature_k)
        law = _hydrogen_z_ratio if self.gas == "hydrogen" else _helium_z_ratio
        return law(pressure_pa, temperature_k)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """What a balloon holds at the launch, and what it lifts there."""

    volume_m3: float
    gas_kg: float
    neck_lift_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bottle:
    """A gas bottle: water volume, absolute pressure, temperature of the gas in it."""

    water_m3: float = 0.050
    pressure_pa: float = 200.0e5
    temperature_k: float = SEA_LEVEL_TEMPERATURE_K

    def __post_init__(self) -> None:
        check_range("water_m3", self.water_m3, "m3", (1.0e-4, 5.0), "50 l is 0.050 m3.")
        _check_bottle_state(self.pressure_pa, self.temperature_k)


def fill_of(
    neck_lift_kg: float, balloon_kg: float, mix: GasMix, pressure_pa: float, temperature_k: float
) -> Fill:
    """Return the fill that just carries `neck_lift_kg` at the neck of a balloon.

    Gross lift = neck lift + balloon; volume = gross lift / (density of air - density of gas), with
    the gas as warm as the air and the film slack.
    Source: Archimedes; words after War Department TM 11-2405 (1944), section 3.

    >>> round(fill_of(1.6, 1.0, GasMix(gas="hydrogen"), 101325.0, 288.15).volume_m3, 2)
    2.28
    """
    for name, mass_kg in (("neck_lift_kg", neck_lift_kg), ("balloon_kg", balloon_kg)):
        remedy = f"If {mass_kg:g} was meant in grams, write {mass_kg / 1000.0:g}."
        if not 0.0 < mass_kg <= TOP_MASS_KG:
            allowed = f"more than 0, up to {TOP_MASS_KG:g} kg"
            raise InputError(
                name, f"{mass_kg:g} kg", allowed, remedy if mass_kg > TOP_MASS_KG else ""
            )
    gross_kg = neck_lift_kg + balloon_kg
    volume_m3 = gross_kg / mix.lift_kgpm3(pressure_pa, temperature_k)
    return Fill(
        volume_m3=volume_m3,
        gas_kg=volume_m3 * mix.density_kgpm3(pressure_pa, temperature_k),
        neck_lift_kg=neck_lift_kg,
    )


def bottle_volume_m3(mix: GasMix, bottle: Bottle) -> float:
    """Return the gas in a bottle as a volume at 15 C and 1013.25 hPa.

    Source: real gas law p V = Z n R T at both states.

    >>> round(bottle_volume_m3(GasMix(gas="helium"), Bottle()), 2)
    9.0
    """
    packed = mix.compressibility_ratio(bottle.pressure_pa, bottle.temperature_k)
    free = mix.compressibility_ratio(SEA_LEVEL_PRESSURE_PA, SEA_LEVEL_TEMPERATURE_K)
    ideal_m3 = (
        bottle.water_m3
        * (bottle.pressure_pa / SEA_LEVEL_PRESSURE_PA)
        * (SEA_LEVEL_TEMPERATURE_K / bottle.temperature_k)
    )
    return ideal_m3 * free / packed


def bottle_ratio(mix: GasMix, fill: Fill, bottle: Bottle) -> float:
    """Return how many such bottles a fill takes, as a share: 0.26 is a quarter of one.

    All of the gas counts; what cannot be got out (a few bar) is not taken off.
    """
    if bottle.pressure_pa < EMPTY_BOTTLE_PA:
        allowed = f"{EMPTY_BOTTLE_PA:g} Pa (20 bar) or more"
        remedy = "This bottle is empty: take a full one."
        raise InputError("bottle pressure", f"{bottle.pressure_pa:g} Pa", allowed, remedy)
    free_density_kgpm3 = mix.density_kgpm3(SEA_LEVEL_PRESSURE_PA, SEA_LEVEL_TEMPERATURE_K)
    return fill.gas_kg / free_density_kgpm3 / bottle_volume_m3(mix, bottle)


def _hydrogen_z_ratio(pressure_pa: float, temperature_k: float) -> float:
    p_mpa, theta = pressure_pa / 1.0e6, 100.0 / temperature_k
    return 1.0 + math.fsum(a * theta**b * p_mpa**c for a, b, c in _HYDROGEN_TERMS)


def _helium_z_ratio(pressure_pa: float, temperature_k: float) -> float:
    """Return 1 + B n + C n^2 at the molar density n that this Z itself gives."""
    warmer_k = temperature_k - SEA_LEVEL_TEMPERATURE_K
    B = _HELIUM_B_M3PMOL[0] + _HELIUM_B_M3PMOL[1] * warmer_k
    C = _HELIUM_C_M6PMOL2[0] + _HELIUM_C_M6PMOL2[1] * warmer_k
    ideal_molpm3 = pressure_pa / (MOLAR_GAS_CONSTANT_JPMOLK * temperature_k)
    z = 1.0
    # Each pass shrinks the error at least fivefold up to 350 bar (B n is at most 0.2).
    for _ in range(25):
        n_molpm3 = ideal_molpm3 / z
        z = 1.0 + B * n_molpm3 + C * n_molpm3**2
    return z


def _check_state(pressure_pa: float, temperature_k: float) -> None:
    check_range("pressure_pa", pressure_pa, "Pa", (1.0, 1.1e5), "Give pascals: 1 hPa is 100 Pa.")
    check_range("temperature_k", temperature_k, "K", (150.0, 350.0), "Give kelvins: 15 C is 288.")


def _check_bottle_state(pressure_pa: float, temperature_k: float) -> None:
    remedy = "Give the absolute pressure in pascals: 200 bar is 2.0e7 Pa."
    check_range("pressure_pa", pressure_pa, "Pa", (1.0e5, TOP_BOTTLE_PA), remedy)
    check_range("temperature_k", temperature_k, "K", (250.0, 320.0), "Give kelvins: 15 C is 288.")
