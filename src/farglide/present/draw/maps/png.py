"""PNG: a picture of greys as the bytes of a file."""

import struct
import zlib
from typing import Final

import numpy as np

from farglide.arrays import ByteArray
from farglide.errors import InputError

_SIGNATURE: Final = b"\x89PNG\r\n\x1a\n"
_GREY: Final = 0
_UP: Final = 2
_MOST_PX: Final = 20_000
_BEST: Final = 9


def png_bytes(grey: ByteArray, words: str) -> bytes:
    """Return a picture, rows from the top, 0 black to 255 white, with a description inside.

    Source: PNG, W3C Recommendation 2003 and ISO/IEC 15948: 11.2.2 IHDR, 9.2 filter "Up",
    11.3.4.5 iTXt (from memory).
    """
    is_grey = grey.dtype == np.uint8 and grey.ndim == 2
    if not (is_grey and 0 < min(grey.shape) <= max(grey.shape) <= _MOST_PX):
        given = f"{grey.dtype} of shape {grey.shape}"
        raise InputError("grey", given, f"uint8 in rows and columns, up to {_MOST_PX} of both")
    n_rows, n_columns = grey.shape
    # Each row less the one above: what does not change from row to row packs into next to nothing.
    above = np.vstack([np.zeros((1, n_columns), np.uint8), grey[:-1]])
    rows = np.hstack([np.full((n_rows, 1), _UP, np.uint8), grey - above])
    head = struct.pack(">IIBBBBB", n_columns, n_rows, 8, _GREY, 0, 0, 0)
    text = b"Description\0\0\0\0\0" + words.encode("utf-8")
    chunks = (
        (b"IHDR", head), (b"iTXt", text), (b"IDAT", zlib.compress(rows.tobytes(), _BEST)),
        (b"IEND", b""),
    )  # fmt: skip
    return _SIGNATURE + b"".join(_chunk(name, data) for name, data in chunks)


def _chunk(name: bytes, data: bytes) -> bytes:
    """Return length, name, data and their checksum (5.3)."""
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
