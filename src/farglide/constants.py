"""Constants of physics, in SI, and of chance, one a line with its source."""

from typing import Final

STANDARD_GRAVITY_MPS2: Final = 9.80665  # ISO 2533:1975, 2.1; CGPM 1901
AIR_GAS_CONSTANT_JPKGK: Final = 287.05287  # ISO 2533:1975, 2.1 (specific gas constant of dry air)
MOLAR_GAS_CONSTANT_JPMOLK: Final = 8.314462618  # CODATA 2018, exact
AVOGADRO_PMOL: Final = 6.02214076e23  # CODATA 2018, exact
STEFAN_BOLTZMANN_WPM2K4: Final = 5.670374419e-8  # CODATA 2018, exact digits cut off
AIR_MOLAR_MASS_KGPMOL: Final = 0.02896442  # ISO 2533:1975, 2.1
HELIUM_MOLAR_MASS_KGPMOL: Final = 0.004002602  # IUPAC 2021 standard atomic weight
HYDROGEN_MOLAR_MASS_KGPMOL: Final = 0.00201588  # IUPAC 2021, abridged 2 x 1.00794
WATER_TO_AIR_MOLAR_RATIO: Final = 0.62198  # WMO-No. 8 Annex 4.A: 18.01528 / 28.9644
AIR_HEAT_RATIO: Final = 1.4  # ISO 2533:1975, 2.1 (ratio of specific heats)
SEA_LEVEL_TEMPERATURE_K: Final = 288.15  # ISO 2533:1975, table 1
SEA_LEVEL_PRESSURE_PA: Final = 101325.0  # ISO 2533:1975, table 1
SEA_LEVEL_DENSITY_KGPM3: Final = 1.225  # ISO 2533:1975, table 1; the reference of EAS
SEA_LEVEL_VISCOSITY_PAS: Final = 1.7894e-5  # US Standard Atmosphere 1976
NOMINAL_EARTH_RADIUS_M: Final = 6356766.0  # US Standard Atmosphere 1976, r0; ISO 2533:1975, 2.3
SUTHERLAND_BETA_KGPMSK05: Final = 1.458e-6  # US Standard Atmosphere 1976, eq. 51
SUTHERLAND_TEMPERATURE_K: Final = 110.4  # US Standard Atmosphere 1976, eq. 51
WGS84_SEMI_MAJOR_M: Final = 6378137.0  # NGA.STND.0036 (WGS84), table 3.1
WGS84_FLATTENING: Final = 1.0 / 298.257223563  # NGA.STND.0036 (WGS84), table 3.1
MEAN_EARTH_RADIUS_M: Final = 6371008.8  # IUGG mean radius of WGS84 (2a + b) / 3
DECILE_SDS: Final = 1.2816  # from the median of a normal law to its ninth of ten, 1.28155
