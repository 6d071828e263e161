"""Gaseous loss against validation examples and line-by-line sums."""

import pytest

from farglide.errors import InputError
from farglide.radio.path.gas import dry_loss_dbpkm, gas_loss_db, wet_loss_dbpkm


@pytest.mark.parametrize(
    ("gigahertz", "dry", "wet"),
    [
        # ITU validation examples CG-3M3J-13-ValEx Rev 5.1, sheet P.676-13 gamma: 1013.25 hPa,
        # 288.15 K, 7.5 g/m3. The simplified form is 0.1 to 2.0 % less dry and 11 % more wet.
        (1.0, 0.00538866, 5.09046e-05),
        (2.0, 0.00671604, 0.000204381),
        (6.0, 0.00753721, 0.00192157),
    ],
)
def test_a_kilometre_at_the_ground(gigahertz: float, dry: float, wet: float) -> None:
    assert dry_loss_dbpkm(gigahertz * 1e9, 101_325.0, 288.15) == pytest.approx(dry, rel=0.021)
    found = wet_loss_dbpkm(gigahertz * 1e9, 101_325.0, 288.15, 7.5e-3)
    assert found == pytest.approx(wet, rel=0.12)


@pytest.mark.parametrize(
    ("megahertz", "losses_db"),
    [
        # line by line through the atmosphere of ITU-R P.835, ground to 30 km at 90, 10 and 5 deg
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
