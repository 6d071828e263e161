"""Mutate: one changed file out of some whole ones, the same for the same number."""

import re
from collections.abc import Callable, Sequence
from typing import Final

import numpy as np

Rng = np.random.Generator

_NUMBER: Final = re.compile(rb"[+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?")
_WORD: Final = re.compile(rb"[A-Za-z_]{2,}")
_NUMBERS: Final = (
    b"0", b"-1", b"1e-320", b"1e308", b"-1e308", b"nan", b"inf", b"", b"9" * 400, b"1e9999",
    b"2147483648", b"-9223372036854775809", b"0.1", b"360", b"-180", b"90.0000001", b"1e5", b"x",
    b"-9999", b"1,5", b"0x10", b"1_000", b"true", b"[]", b'""',
)  # fmt: skip
_SIGNS: Final = (
    b"\0", b"\x1b[2J", b"\xff", b"\xef\xbb\xbf", b'"', b"'", b"\n", b"\r", b",", b";", b"\t", b"#",
    b"<", b"&", b"]]>", b"{", b"[", b"}", b"\xe2\x80\xae", b"\xed\xa0\x80", b"\\", b"=", b"..",
)  # fmt: skip
_FEW: Final = 400  # bytes of a head, where most of what steers a reader stands


def mutated(wholes: Sequence[bytes], rng: Rng) -> bytes:
    """Return one of some files, changed in one to eight ways, mostly in one or two."""
    data = wholes[int(rng.integers(len(wholes)))]
    for _ in range(min(int(rng.geometric(0.55)), 8)):
        way = _WAYS[int(rng.integers(len(_WAYS)))]
        data = way(data, rng) or data
    if rng.random() < 0.05:
        data = _spliced(data, wholes[int(rng.integers(len(wholes)))], rng)
    return data or b"\0"


def _place(data: bytes, rng: Rng) -> int:
    """Return a place in a file, half of the time near its beginning."""
    near = min(_FEW, len(data)) if rng.random() < 0.5 else len(data)
    return int(rng.integers(max(near, 1)))


def _span(data: bytes, rng: Rng) -> tuple[int, int]:
    start = _place(data, rng)
    return start, min(start + 1 + int(rng.exponential(30.0)), len(data))


def _bit(data: bytes, rng: Rng) -> bytes:
    at, changed = _place(data, rng), bytearray(data)
    changed[at : at + 1] = bytes([changed[at] ^ (1 << int(rng.integers(8)))]) if data else b""
    return bytes(changed)


def _byte(data: bytes, rng: Rng) -> bytes:
    at = _place(data, rng)
    value = (0, 1, 127, 128, 254, 255, int(rng.integers(256)))[int(rng.integers(7))]
    return data[:at] + bytes([value]) + data[at + 1 :]


def _word(data: bytes, rng: Rng) -> bytes:
    """Set 2, 4 or 8 bytes to a number at the edge of its kind."""
    at, n = _place(data, rng), int(2 ** rng.integers(1, 4))
    edges = (0, 1, 2 ** (8 * n) - 1, 2 ** (8 * n - 1), 2 ** (8 * n - 1) - 1, 2 ** (4 * n))
    order = "big" if rng.random() < 0.5 else "little"
    value = edges[int(rng.integers(len(edges)))].to_bytes(n, order)  # type: ignore[arg-type]
    return data[:at] + value + data[at + n :]


def _cut(data: bytes, rng: Rng) -> bytes:
    return data[: int(rng.integers(len(data) + 1))]


def _gone(data: bytes, rng: Rng) -> bytes:
    start, end = _span(data, rng)
    return data[:start] + data[end:]


def _twice(data: bytes, rng: Rng) -> bytes:
    start, end = _span(data, rng)
    return data[:end] + data[start:end] * int(rng.integers(1, 20)) + data[end:]


def _noise(data: bytes, rng: Rng) -> bytes:
    start, end = _span(data, rng)
    return data[:start] + rng.bytes(end - start) + data[end:]


def _number(data: bytes, rng: Rng) -> bytes:
    """Put another number, or none, where one is written."""
    return _replaced(data, _NUMBER, _NUMBERS, rng)


def _name(data: bytes, rng: Rng) -> bytes:
    """Put another word of the file where one is written."""
    words = tuple(match[0] for match in list(_WORD.finditer(data[:20_000]))[:200]) or (b"x",)
    return _replaced(data, _WORD, words, rng)


def _sign(data: bytes, rng: Rng) -> bytes:
    at = _place(data, rng)
    return data[:at] + _SIGNS[int(rng.integers(len(_SIGNS)))] + data[at:]


def _lines(data: bytes, rng: Rng) -> bytes:
    """Exchange, drop or repeat lines."""
    lines = data.split(b"\n")
    i, j = (int(rng.integers(len(lines))) for _ in range(2))
    lines[i], lines[j] = lines[j], lines[i]
    if rng.random() < 0.5:
        lines[i : i + 1] = [lines[i]] * int(rng.integers(0, 4))
    return b"\n".join(lines)


def _replaced(data: bytes, what: re.Pattern[bytes], by: Sequence[bytes], rng: Rng) -> bytes:
    found = list(what.finditer(data, _place(data, rng)))[:50]
    if not found:
        return data
    match = found[int(rng.integers(len(found)))]
    return data[: match.start()] + by[int(rng.integers(len(by)))] + data[match.end() :]


def _spliced(data: bytes, other: bytes, rng: Rng) -> bytes:
    at, there = _place(data, rng), _place(other, rng)
    return data[:at] + other[there : there + len(data)]


_WAYS: Final[tuple[Callable[[bytes, Rng], bytes], ...]] = (
    _bit, _bit, _bit, _byte, _byte, _byte, _word, _word, _word, _cut, _gone, _twice, _noise,
    _number, _number, _number, _number, _number, _number, _number, _name, _name, _sign, _lines,
)  # fmt: skip
