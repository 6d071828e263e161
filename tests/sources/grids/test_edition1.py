"""Headers of edition 1."""

import pytest
from tests.sources.grids.encode import KINDS, NUMBERS, Made, message_1, slope

from farglide.sources.grids.edition1 import fields_1

RUN_S = 1_577_836_800.0  # 2020-01-01 00:00 UTC


def made(**changed: object) -> Made:
    parts: dict[str, object] = {"kind": KINDS["u_mps"], "values": slope((3, 5), 5.0), **changed}
    return Made(**parts)  # type: ignore[arg-type]


def test_what_a_header_tells() -> None:
    (found,) = fields_1(message_1(NUMBERS["u_mps"], made()))
    assert (found.quantity, found.kind, found.level) == ("u_mps", "pressure", 50_000.0)
    assert (found.run_s, found.valid_s) == (RUN_S, RUN_S + 6 * 3600.0)
    assert found.member == "control"


@pytest.mark.parametrize(
    ("run", "run_s"), [((2000, 1, 1, 0), 946_684_800.0), ((1999, 12, 31, 12), 946_641_600.0)]
)
def test_the_year_2000_ends_its_century(run: tuple[int, int, int, int], run_s: float) -> None:
    assert fields_1(message_1(33, made(run=run)))[0].run_s == run_s


def test_numbers_of_the_european_centre() -> None:
    (found,) = fields_1(message_1(129, made(centre=98), version=128))
    assert found.quantity == "gph_m"
    assert found.factor == pytest.approx(1.0 / 9.80665)
    assert fields_1(message_1(129, made(centre=7), version=128))[0].quantity == ""


@pytest.mark.parametrize(
    ("local", "centre", "name"),
    [
        ((1, 1, 11, 4, 11, 48, 48, 48, 49, 7, 50), 98, "7"),
        ((36, 23, 2, 4, 6, 48, 48, 48, 49, 0, 10), 98, "0"),
        ((1, 1, 9, 4, 1, 48, 48, 48, 49, 0, 0), 98, "control"),
        ((1, 3, 5), 7, "positive 5"),
        ((1, 2, 5), 7, "negative 5"),
        ((1, 1, 1), 7, "control"),
    ],
)
def test_members_have_names(local: tuple[int, ...], centre: int, name: str) -> None:
    (found,) = fields_1(message_1(33, made(centre=centre), local=local))
    assert found.member == name


def test_a_spread_of_members_is_of_no_use() -> None:
    local = (1, 1, 18, 4, 11, 48, 48, 48, 49, 0, 50)
    assert fields_1(message_1(33, made(centre=98), local=local))[0].quantity == ""


@pytest.mark.parametrize(("indicator", "lead_s"), [(0, 21_600.0), (1, 0.0), (10, 256 * 21_600.0)])
def test_indicators_of_time(indicator: int, lead_s: float) -> None:
    (found,) = fields_1(message_1(33, made(), indicator=indicator))
    assert found.valid_s - found.run_s == lead_s


def test_a_stretch_of_time_and_other_levels_are_of_no_use() -> None:
    assert fields_1(message_1(33, made(), indicator=4))[0].quantity == ""
    assert fields_1(message_1(33, made(level_type=105, p_pa=10.0)))[0].quantity == ""


def test_coefficients_of_model_levels() -> None:
    pv = (0.0, 2000.0, 0.0, 0.0, 0.5, 1.0)
    (found,) = fields_1(message_1(33, made(level_type=109, p_pa=2.0, pv=pv)))
    assert (found.kind, found.level, found.coefficients) == ("model", 2.0, pv)


def test_a_grid_of_a_catalogue_is_named() -> None:
    data = bytearray(message_1(33, made()))
    data[8 + 7] = 0
    assert "catalogue" in str(fields_1(bytes(data))[0].layout)


def test_a_section_beyond_its_message_is_no_section() -> None:
    data = bytearray(message_1(33, made()))
    data[8:11] = b"\xff\xff\xff"
    with pytest.raises(ValueError, match="a section of 16777215 octets at octet 9"):
        fields_1(bytes(data))


@pytest.mark.parametrize(
    ("flags", "packing"), [(0x00, "simple"), (0x40, "of second order"), (0x80, "spectral")]
)
def test_how_values_are_written(flags: int, packing: str) -> None:
    data = bytearray(message_1(33, made()))
    start = 8 + 28
    start += int.from_bytes(data[start : start + 3], "big")
    data[start + 3] = flags
    assert fields_1(bytes(data))[0].packing == packing
    bitmap = b"\0\0\x08\0\0\0\xff\xff"
    data[15] = 0xC0  # a bit map stands before the values
    assert fields_1(bytes(data[:start]) + bitmap + bytes(data[start:]))[0].packing == packing
