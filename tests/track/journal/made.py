"""Logs made for tests, with times of a clock that is a number."""

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np

from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.head import Head
from farglide.track.journal.journal import Journal, Moment
from farglide.track.journal.opening import begin
from farglide.track.journal.payload import fix_payload, payload_of, raw_payload
from farglide.track.journal.reader import open_log
from farglide.track.reports import Fix, HeightKind

UTC_S: Final = 1_800_697_200.0
HEAD: Final = Head(flight="[flight]\n", manifest="{}", winds="[]", program="0.1.0")


def moment(monotonic_s: float) -> Moment:
    return Moment(monotonic_s, UTC_S + monotonic_s)


def fix(n: int, feed: str = "glider") -> Fix:
    return Fix(
        feed=feed, lat_deg=-46.5 - n / 1e4, lon_deg=108.0 + n / 7e3, t_s=UTC_S + n,
        height_m=240.0 + 5.1 * n, height_kind=HeightKind.ELLIPSOID, separation_m=-12.5,
        speed_mps=7.25, track_deg=91.0, n_satellites=11,
    )  # fmt: skip


def write_some(journal: Journal, numbers: Sequence[int]) -> None:
    """Write a raw record and its fix for each number, of every kind one now and then."""
    for n in numbers:
        when = moment(float(n))
        journal.append(Kind.RAW, raw_payload("glider", b"$GPGGA,%d\r\n" % n), when)
        journal.append(Kind.FIX, fix_payload(fix(n)), when)
        if n % 5 == 0:
            kind = (Kind.TICK, Kind.TYPED, Kind.ADVICE, Kind.MARK, Kind.NOTE)[n // 5 % 5]
            journal.append(kind, payload_of({"n": n}), when)


def made_log(path: Path, n_fixes: int = 10) -> bytes:
    """Write a finished log; return its bytes."""
    journal = begin(path, HEAD, moment(0.0))
    write_some(journal, range(n_fixes))
    journal.append(Kind.END, payload_of({}), moment(float(n_fixes)))
    journal.close()
    return path.read_bytes()


def read(path: Path) -> list[Record]:
    with open_log(path) as (_, scan):
        return list(scan)


def seeded(*keys: int) -> np.random.Generator:
    return np.random.default_rng(keys)
