"""What the messages of a GRIB file say they hold, against a general decoder and made-up ones."""

from collections import Counter
from pathlib import Path

import numpy as np
import pytest
import rasterio
from bench.forecastserver.written import Area, Stamp, message
from hypothesis import given, settings
from hypothesis import strategies as st

from farglide.errors import SourceError
from farglide.gather.fetch.contents import Content, contents_of

from .server import REAL

VALUES = np.arange(12.0).reshape(3, 4)
AREA = Area(50.0, 10.0, 0.5)


def test_the_real_messages_are_named_as_another_decoder_names_them() -> None:
    with rasterio.open(str(REAL), driver="GRIB") as dataset:
        other = Counter(
            (
                dataset.tags(band)["GRIB_ELEMENT"],
                float(dataset.descriptions[band - 1].partition("[")[0]) / 100.0,
                float(dataset.tags(band)["GRIB_REF_TIME"].split()[0]),
                float(dataset.tags(band)["GRIB_FORECAST_SECONDS"].split()[0]),
            )
            for band in range(1, dataset.count + 1)
        )
    assert Counter(one[:4] for one in contents_of(REAL)) == other
    assert len(contents_of(REAL)) == 50  # in 38 messages: u with v


def test_a_member_is_read_from_its_template(tmp_path: Path) -> None:
    path = tmp_path / "members.grib2"
    stamps = [
        Stamp(1_800_684_000.0, 6),
        Stamp(1_800_684_000.0, 6, 0),
        Stamp(1_800_684_000.0, 9, 17),
    ]
    path.write_bytes(b"".join(message("TMP", 0.4, VALUES, AREA, one) for one in stamps))
    assert contents_of(path) == (
        Content("TMP", 0.4, 1_800_684_000.0, 21_600.0, None),
        Content("TMP", 0.4, 1_800_684_000.0, 21_600.0, 0),
        Content("TMP", 0.4, 1_800_684_000.0, 32_400.0, 17),
    )


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda data: data[:-40], "is cut short"),
        (lambda data: data[:-1] + b"8", "does not end with '7777'"),
        (lambda data: data + b"more", "message 1: is followed by 4 other bytes"),
        (lambda data: b"head" + data, "message 1: does not follow"),
        (lambda data: data[:7] + b"\x03" + data[8:], "GRIB edition 3"),
        (lambda data: data[:16] + b"\0\0\0\1" + data[20:], "message 1: cannot be read"),
        (lambda data: data[:30] + b"\x7f" + data[31:], "message 1: cannot be read"),
        (lambda data: b"<html></html>" + 40 * b" ", "holds no GRIB message"),
    ],
)
def test_what_is_damaged_is_refused(tmp_path: Path, change: object, told: str) -> None:
    path = tmp_path / "f.grib2"
    data = message("HGT", 10.0, VALUES, AREA, Stamp(1_800_684_000.0, 6))
    path.write_bytes(change(data))  # type: ignore[operator]
    with pytest.raises(SourceError, match=told.replace("(", r"\(")):
        contents_of(path)


@given(st.lists(st.tuples(st.integers(0, 220), st.integers(0, 255)), min_size=1, max_size=6))
@settings(max_examples=300, deadline=None)
def test_any_bytes_are_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, changes: list[tuple[int, int]]
) -> None:
    data = bytearray(message("HGT", 10.0, VALUES, AREA, Stamp(1_800_684_000.0, 6)))
    for place, value in changes:
        data[place % len(data)] = value
    path = tmp_path_factory.getbasetemp() / "any.grib2"
    path.write_bytes(data)
    try:
        found = contents_of(path)
    except SourceError:
        return
    assert len(found) <= 12
