"""PNG: read back by another library, bit by bit."""

import struct
import zlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rasterio.io import MemoryFile

from farglide.errors import InputError
from farglide.present.draw.maps.png import png_bytes


@pytest.mark.filterwarnings("ignore::rasterio.errors.NotGeoreferencedWarning")
@given(st.integers(1, 40), st.integers(1, 40), st.integers(0, 99), st.text(max_size=20))
@settings(max_examples=60, deadline=None)
def test_another_library_reads_the_same_pixels(high: int, wide: int, seed: int, words: str) -> None:
    """GDAL's reader."""
    grey = np.random.default_rng(seed).integers(0, 256, (high, wide)).astype(np.uint8)
    with MemoryFile(png_bytes(grey, words)) as file, file.open(driver="PNG") as dataset:
        assert dataset.count == 1
        assert np.array_equal(dataset.read(1), grey)


def test_chunks_and_words() -> None:
    """Length, name, data and the checksum of name and data, from the first byte to the last."""
    data = png_bytes(np.zeros((3, 5), np.uint8), "10 dB − é")
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    at, found = 8, {}
    while at < len(data):
        (length,) = struct.unpack(">I", data[at : at + 4])
        name, inside = data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        assert struct.unpack(">I", data[at + 8 + length : at + 12 + length])[0] == zlib.crc32(
            name + inside
        )
        found[name], at = inside, at + 12 + length
    assert list(found) == [b"IHDR", b"iTXt", b"IDAT", b"IEND"]
    assert struct.unpack(">II", found[b"IHDR"][:8]) == (5, 3)
    # keyword, not packed, no language, no translated keyword, then the words
    assert found[b"iTXt"] == b"Description\0\0\0\0\0" + "10 dB − é".encode()


@pytest.mark.parametrize("shape", [(0, 5), (5,), (20_001, 1)])
def test_it_refuses_what_is_no_picture(shape: tuple[int, ...]) -> None:
    with pytest.raises(InputError, match="uint8 in rows and columns"):
        png_bytes(np.zeros(shape, np.uint8), "")
    with pytest.raises(InputError, match="float64 of shape"):
        png_bytes(np.zeros((2, 2)), "")
