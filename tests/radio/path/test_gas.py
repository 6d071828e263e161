"""Gaseous loss against validation examples and line-by-line sums."""

import math

import pytest

from farglide.errors import InputError
from farglide.radio.path.gas import dry_loss_dbpkm, gas_loss_db, wet_loss_dbpkm
from farglide.radio.path.space import free_space_loss_db

from .conftest import inside, slant_m


@pytest.mark.parametrize(
    ("gigahertz", "dry", "wet"),
    [
        # ITU validation examples CG-3M3J-13-ValEx Rev 5.1, sheet P.676-13 gamma: 1013.25 hPa,
        # 288.15 K, 7.5 g/m3. The sums are line by line; the simplified form is another law, 0.1 %
        # (1 GHz) to 4.8 % (15 GHz) less dry and 9.9 to 11.4 % more wet, which is 0.002 dB/km.
        (1.0, 0.00538866, 5.09046e-05),
        (2.0, 0.00671604, 0.000204381),
        (6.0, 0.00753721, 0.00192157),
        # the same of P.676-12: validation test data of the open library ITU-Rpy (commit 524f30f),
        # ITURP676-12_gamma.csv
        (3.0, 0.00707596, 0.000462793),
        (4.0, 0.007258969, 0.000830334),
        (5.0, 0.007400426, 0.001313459),
        (10.0, 0.008224417, 0.005974125),
        (12.0, 0.008698264, 0.009535388),
        (15.0, 0.009618924, 0.019439422),
    ],
)
def test_a_kilometre_at_the_ground(gigahertz: float, dry: float, wet: float) -> None:
    less = 1.0 - dry_loss_dbpkm(gigahertz * 1e9, 101_325.0, 288.15) / dry
    assert 0.0 < less < (0.021 if gigahertz <= 6.0 else 0.049)
    more = wet_loss_dbpkm(gigahertz * 1e9, 101_325.0, 288.15, 7.5e-3) / wet - 1.0
    assert 0.095 < more < 0.115


def test_the_simplified_form_as_open_codes_have_it() -> None:
    # formulas of itur 0.4.0, itu676.py, P.676-10 annex 2: 10 GHz, 1013.25 hPa, 15 C, 7.5 g/m3, the
    # first line broadened at 22 GHz; at 22.235 it would be 0.1 % more
    assert dry_loss_dbpkm(10e9, 101_325.0, 288.15) == pytest.approx(0.0079408, abs=6e-8)
    found = wet_loss_dbpkm(10e9, 101_325.0, 288.15, 7.5e-3)
    assert found == pytest.approx(0.0066245, abs=6e-8)


@pytest.mark.parametrize(
    ("megahertz", "losses_db"),
    [
        # line by line through the atmosphere of ITU-R P.835, ground to 30 km at 90, 10 and 5 deg;
        # printed to 0.001 dB, 2 % of the small ones, and the simplified form is another law
        (433.0, (0.021, 0.115, 0.214)),
        (915.0, (0.030, 0.171, 0.321)),
        (1280.0, (0.033, 0.186, 0.350)),
        (2400.0, (0.036, 0.203, 0.382)),
        (5800.0, (0.041, 0.230, 0.434)),
    ],
)
def test_the_way_up_to_30_km(megahertz: float, losses_db: tuple[float, float, float]) -> None:
    for elevation_deg, loss_db in zip((90.0, 10.0, 5.0), losses_db, strict=True):
        found = gas_loss_db(megahertz * 1e6, elevation_deg, 0.0, 30_000.0)
        assert found == pytest.approx(loss_db, rel=0.03)


def test_halves_of_a_way_add_up() -> None:
    below = gas_loss_db(2370e6, 90.0, 0.0, 5_000.0)
    above = gas_loss_db(2370e6, 90.0, 5_000.0, 30_000.0)
    assert below + above == pytest.approx(gas_loss_db(2370e6, 90.0, 0.0, 30_000.0), rel=1e-9)


def test_what_is_out_of_range_is_refused() -> None:
    with pytest.raises(InputError, match=r"0.1 to 15 GHz"):
        dry_loss_dbpkm(50e6, 101_325.0, 288.0)
    with pytest.raises(InputError, match="110 000 Pa"):
        dry_loss_dbpkm(1e9, 0.0, 288.0)
    with pytest.raises(InputError, match="Give kelvin"):
        wet_loss_dbpkm(1e9, 101_325.0, 15.0, 0.0)
    with pytest.raises(InputError, match=r"7.5 g/m3 is 0.0075"):
        wet_loss_dbpkm(1e9, 101_325.0, 288.0, 7.5)
    with pytest.raises(InputError, match="elevation"):
        gas_loss_db(1e9, 0.0, 0.0, 1000.0)
    with pytest.raises(InputError, match="rising"):
        gas_loss_db(1e9, 10.0, 1000.0, 0.0)


@pytest.mark.parametrize(
    ("km", "elevation_rad", "free_db", "gases_db"),
    [
        (99.0, 0.127281, 125.510, 0.1544),
        (198.0, 0.055827, 131.473, 0.3115),
        (297.0, 0.028333, 134.984, 0.4812),
    ],
)
def test_free_space_and_gases_at_450_mhz(
    km: float, elevation_rad: float, free_db: float, gases_db: float
) -> None:
    assert inside(450e6, 15.0, 15_000.0)
    way_m = slant_m(1e3 * km, 15.0, 15_000.0)
    assert free_space_loss_db(450e6, way_m) == pytest.approx(free_db, abs=0.03)
    found = gas_loss_db(450e6, math.degrees(elevation_rad), 15.0, 15_000.0)
    # the curves trace a bent ray through air by line-by-line sums: the lower it is, the longer it
    # stays in thick air
    assert found == pytest.approx(gases_db, rel=0.06)


def test_where_the_curves_end_other_laws_answer_or_refuse() -> None:
    assert not inside(869.5e6, 3.0, 26_000.0)
    assert not inside(70e6, 3.0, 10_000.0)
    # high above, free space holds; gases have no law below 100 MHz, and say so
    way_m = slant_m(45e3, 3.0, 26_000.0)
    expected = 32.448 + 20.0 * math.log10(869.5) + 20.0 * math.log10(way_m / 1e3)  # ITU-R P.525
    assert free_space_loss_db(869.5e6, way_m) == pytest.approx(expected, abs=0.01)
    with pytest.raises(InputError, match="frequency_hz"):
        gas_loss_db(70e6, 10.0, 0.0, 20_000.0)
