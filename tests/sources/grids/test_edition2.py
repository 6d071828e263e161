"""Headers of edition 2."""

import pytest
from tests.sources.grids.encode import KINDS, Made, grib2, message, slope

from farglide.sources.grids.edition2 import fields_2

VALUES = slope((3, 5), 5.0)
RUN_S = 1_577_836_800.0  # 2020-01-01 00:00 UTC


def made(**changed: object) -> Made:
    parts: dict[str, object] = {"kind": KINDS["u_mps"], "values": VALUES, **changed}
    return Made(**parts)  # type: ignore[arg-type]


def test_what_a_header_tells() -> None:
    (found,) = fields_2(message([made(p_pa=1000.0)]))
    assert (found.quantity, found.factor, found.kind, found.level) == (
        "u_mps",
        1.0,
        "pressure",
        1e3,
    )
    assert (found.run_s, found.valid_s) == (RUN_S, RUN_S + 6 * 3600.0)
    assert (found.member, found.centre, found.packing, found.place) == ("control", 7, "simple", 0)


def test_two_winds_in_one_message_have_their_places() -> None:
    both = fields_2(message([made(), made(kind=KINDS["v_mps"])]))
    assert [(one.quantity, one.place) for one in both] == [("u_mps", 0), ("v_mps", 1)]
    assert both[0].layout is both[1].layout


@pytest.mark.parametrize(
    ("member", "centre", "name"),
    [
        ((1, 0), 7, "gec00"), ((3, 7), 7, "gep07"), ((2, 7), 7, "negative 7"),
        ((255, 12), 98, "12"), ((0, 0), 98, "0"),
    ],
)  # fmt: skip
def test_members_have_names(member: tuple[int, int], centre: int, name: str) -> None:
    (found,) = fields_2(message([made(member=member, centre=centre)]))
    assert found.member == name


def test_a_mean_of_members_is_one_and_a_spread_is_none() -> None:
    (mean,) = fields_2(message([made(template=2, member=(0, 0))]))
    assert mean.member == "mean"
    (spread,) = fields_2(message([made(template=2, member=(4, 0))]))
    assert spread.quantity == ""


@pytest.mark.parametrize("changed", [{"kind": (19, 4)}, {"level_type": 103}, {"template": 8}])
def test_fields_of_no_use_have_no_quantity(changed: dict[str, object]) -> None:
    (found,) = fields_2(message([made(**changed)]))
    assert found.quantity == ""


def test_coefficients_of_model_levels() -> None:
    pv = (0.0, 100.0, 0.0, 0.0, 0.5, 1.0)
    (found,) = fields_2(message([made(level_type=105, p_pa=2.0, pv=pv)]))
    assert (found.kind, found.level, found.coefficients) == ("model", 2.0, pv)


def test_a_level_with_a_scale_is_the_same_level() -> None:
    data = bytearray(message([made(p_pa=40.0)]))
    place = data.index(bytes([100, 0]) + (40).to_bytes(4, "big"))
    data[place + 1 : place + 6] = bytes([1]) + (400).to_bytes(4, "big")
    (found,) = fields_2(bytes(data))
    assert found.level == 40.0
    data[place + 1 : place + 6] = bytes([0x81]) + (4).to_bytes(4, "big")
    assert fields_2(bytes(data))[0].level == 40.0


def test_a_section_beyond_its_message_is_no_section() -> None:
    data = bytearray(grib2([made()]))
    data[16:20] = (10**6).to_bytes(4, "big")
    with pytest.raises(ValueError, match="a section of 1000000 octets at octet 17"):
        fields_2(bytes(data))
