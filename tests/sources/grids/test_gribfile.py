"""GRIB files: fields of both editions with their values, and what is refused."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from tests.sources.grids.encode import (
    KINDS,
    NUMBERS,
    Even,
    Made,
    air,
    grib2,
    message,
    message_1,
    slope,
)

from farglide.errors import SourceError
from farglide.sources.grids import gribfile
from farglide.sources.grids.gribfile import check_readable, n_points, open_grib
from farglide.sources.grids.layout import OtherLayout

Writer = Callable[[str, str | bytes], Path]


def made(name: str = "u_mps", base: float = 5.0, **changed: object) -> Made:
    parts: dict[str, object] = {"kind": KINDS[name], "values": slope((3, 5), base), **changed}
    return Made(**parts)  # type: ignore[arg-type]


@pytest.mark.parametrize("lats_deg", [(50.0, 40.0), (40.0, 50.0)])
@pytest.mark.parametrize("edition", [1, 2])
def test_rows_come_from_the_north(
    edition: int, lats_deg: tuple[float, float], written: Writer
) -> None:
    up = lats_deg[0] < lats_deg[1]
    one = made(grid=Even(lats_deg=lats_deg, scanning=0x40 if up else 0))
    data = message([one]) if edition == 2 else message_1(NUMBERS["u_mps"], one)
    file = open_grib(written("a.grib", data))
    ((found, plane),) = file.planes(file.useful)
    expected = one.values[::-1] if up else one.values
    np.testing.assert_allclose(plane, expected, atol=0.006)
    assert found.quantity == "u_mps"


@pytest.mark.parametrize("lons_deg", [(170.0, 190.0), (-10.0, 10.0), (0.0, 355.0), (180.0, 175.0)])
@pytest.mark.parametrize("negative", [False, True])
def test_columns_come_as_they_stand(
    lons_deg: tuple[float, float], negative: bool, written: Writer
) -> None:
    n = 5 if lons_deg[1] - lons_deg[0] == 20.0 else 72
    values = slope((3, n), 5.0)
    one = made(grid=Even(lons_deg=lons_deg, shape=(3, n), negative=negative), values=values)
    file = open_grib(written("a.grib", message([one])))
    ((_, plane),) = file.planes(file.useful)
    np.testing.assert_allclose(plane, values, atol=0.001)


def test_fields_of_one_message_and_fields_of_no_use(written: Writer) -> None:
    data = message([made("u_mps", 5.0), made("v_mps", -7.0)])
    data = grib2([made(kind=(19, 4))]) + data + grib2([made("t_k", 250.0)])
    file = open_grib(written("a.grib", data))
    assert [one.quantity for one in file.useful] == ["u_mps", "v_mps", "t_k"]
    found = {one.quantity: float(plane[0, 0]) for one, plane in file.planes(file.useful)}
    assert found == pytest.approx({"u_mps": 5.0, "v_mps": -7.0, "t_k": 250.0})
    ((_, alone),) = file.planes([one for one in file.useful if one.quantity == "v_mps"])
    assert alone[0, 0] == pytest.approx(-7.0)


def test_values_that_are_not_told(written: Writer) -> None:
    mask = np.ones((3, 5), bool)
    mask[1, 2] = False
    file = open_grib(written("a.grib", message([made(mask=mask)])))
    ((_, plane),) = file.planes(file.useful)
    np.testing.assert_array_equal(np.isfinite(plane), mask)


def test_a_height_of_9999_is_a_height(written: Writer) -> None:
    # The decoder's own mark of a missing value, where a bit map says that one is missing.
    values = np.full((3, 5), 9999.0)
    file = open_grib(written("a.grib", message([made("gph_m", values=values)])))
    ((_, plane),) = file.planes(file.useful)
    assert (plane == 9999.0).all()


def test_many_fields_are_decoded_in_parts(written: Writer, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(gribfile, "_CHUNK_POINTS", 40)
    fields = air()
    file = open_grib(written("a.grib", grib2(fields)))
    planes = [plane for _, plane in file.planes(file.useful)]
    assert len(planes) == len(fields) == 12
    for plane, one in zip(planes, fields, strict=True):
        np.testing.assert_allclose(plane, one.values, rtol=1e-6, atol=1e-3)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (
            b"<!DOCTYPE html><title>404</title>",
            "is a web page, not a forecast: it begins with '<!D",
        ),
        (b"  <html>", "is a web page"),
        (b"no message at all", "holds no GRIB message"),
    ],
)
def test_what_is_no_forecast_is_named(data: bytes, reason: str, written: Writer) -> None:
    with pytest.raises(SourceError, match=reason):
        open_grib(written("a.grib", data))


@pytest.mark.parametrize("n_bytes", [20, 150, 190])
def test_a_file_cut_short_is_refused(n_bytes: int, written: Writer) -> None:
    with pytest.raises(SourceError, match="is cut short"):
        open_grib(written("a.grib", message([made()])[:n_bytes]))


def test_a_header_that_cannot_be_read_is_named(written: Writer) -> None:
    data = bytearray(message([made()]))
    data[16 + 14] = 13  # the month
    with pytest.raises(SourceError, match="message 1: has a header that cannot be read"):
        open_grib(written("a.grib", bytes(data)))


@pytest.mark.parametrize(("packing", "name"), [(61, r"number 5\.61"), (41, "PNG")])
def test_a_packing_that_is_not_read_is_named(packing: int, name: str, written: Writer) -> None:
    path = written("a.grib", message([made(packing=packing)]))
    with pytest.raises(
        SourceError, match=f"message 1: has its values in a packing {name}; allowed: s"
    ):
        check_readable(path, open_grib(path).useful)


def test_a_grid_that_is_not_read_is_named(written: Writer) -> None:
    data = bytearray(message([made()]))
    place = data.index(b"\x03", 37)
    data[place + 8 : place + 10] = (1).to_bytes(2, "big")
    path = written("a.grib", bytes(data))
    fields = open_grib(path).useful
    assert fields[0].layout == OtherLayout(name="rotated latitude/longitude")
    assert n_points(fields[0].layout) == 0
    with pytest.raises(SourceError, match="not read here: rotated latitude/longitude"):
        check_readable(path, fields)


def test_a_grid_larger_than_any_is_refused_before_room_is_made(written: Writer) -> None:
    data = message([made()])
    shape = (5).to_bytes(4, "big") + (3).to_bytes(4, "big")
    path = written("a.grib", data.replace(shape, shape[:4] + (10**7).to_bytes(4, "big")))
    with pytest.raises(SourceError, match="announces a grid of 50000000 points"):
        check_readable(path, open_grib(path).useful)


def test_a_header_that_the_decoder_reads_otherwise_is_refused(written: Writer) -> None:
    file = open_grib(written("a.grib", grib2([made(p_pa=50_000.0)])))
    other = open_grib(written("b.grib", grib2([made(p_pa=10_000.0)])))
    with pytest.raises(SourceError, match="counts in another order"):
        list(file.planes(other.useful))
    small = open_grib(
        written("c.grib", grib2([made(grid=Even(shape=(3, 9)), values=slope((3, 9), 5.0))]))
    )
    with pytest.raises(SourceError, match="has 3 rows and 5 columns, its header"):
        list(file.planes(small.useful))


def test_data_that_cannot_be_decoded_is_refused(written: Writer) -> None:
    data = bytearray(message([made()]))
    place = data.index(b"\0\0\0\x15\x05")  # section 5, 21 octets
    data[place + 5 : place + 9] = (10**6).to_bytes(4, "big")  # packed values
    file = open_grib(written("a.grib", bytes(data)))
    with pytest.raises(SourceError, match="cannot be decoded as GRIB"):
        list(file.planes(file.useful))
