"""Logs and tracks under soak: whole ones, and how they are asked."""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from farglide.track.journal.frame import START, Kind, Record, after, frame_of
from farglide.track.journal.head import Head, head_payload
from farglide.track.journal.index import Index
from farglide.track.journal.journal import Moment
from farglide.track.journal.opening import resume
from farglide.track.journal.payload import fix_payload, raw_payload
from farglide.track.journal.reader import survey
from farglide.track.reports import Fix

AUTHORITIES: Final = Path(__file__).parents[1] / "authorities"
T_S: Final = 1195514100.0
HEAD: Final = Head(flight="[flight]\n", manifest="{}", winds="[]", program="0.1.0")
FIX: Final = b"""{"feed":"glider","lat_deg":50.0,"lon_deg":14.4,"t_s":1195514100.0,
"height_m":300.0,"height_kind":"ellipsoid","separation_m":44.5,"speed_mps":4.5,"track_deg":90.0,"n_satellites":9}"""


def log_bytes(payload: bytes = b"{}", kind: Kind = Kind.NOTE) -> bytes:
    """Return a log whose last record holds a payload, its checksum true."""
    mark, found = START, b""
    fix = Fix(feed="glider", lat_deg=50.0, lon_deg=14.4, t_s=T_S, height_m=300.0, speed_mps=4.5)
    raw = raw_payload("glider", b"$GPGGA,1,2,3*00\r\n")
    records = [(Kind.HEAD, head_payload(HEAD)), (Kind.RAW, raw), (Kind.FIX, fix_payload(fix))]
    for n, (one, data) in enumerate([records[0], *records[1:] * 9, (kind, payload)]):
        record = Record(kind=one, number=n, monotonic_s=0.2 * n, utc_s=T_S + n, payload=data)
        frame = frame_of(record, mark)
        mark, found = after(mark, frame, n), found + frame
    return found


def ask_log(path: Path) -> object:
    """Read a log, go on with it, and find in it all that was whole, and nothing left over."""
    before = survey(path)
    journal = resume(path, before.head).journal
    number = journal.append(Kind.NOTE, b"{}", Moment(before.last.monotonic_s, T_S))
    journal.close()
    for one in path.parent.glob(f"{path.name}.cut-*"):
        one.unlink()
    found = survey(path)
    if (found.n_records, found.last.number, found.n_left) != (before.n_records + 1, number, 0):
        raise ValueError(f"{before} became {found}")
    return _index(path)


def _index(path: Path) -> object:
    with Index(path) as index:
        return [list(index.fixes()), list(index.records(tuple(Kind)))]


def ask_fix(path: Path) -> object:
    """Read a log with a fix that says this, under a checksum that holds."""
    path.write_bytes(log_bytes(path.read_bytes(), Kind.FIX))
    return _index(path)


def ask_head(path: Path) -> object:
    """Read a log with this in its head, under a checksum that holds."""
    record = Record(kind=Kind.HEAD, number=0, monotonic_s=0.0, utc_s=T_S, payload=path.read_bytes())
    path.write_bytes(frame_of(record, START))
    return survey(path)


def tracks(ending: str) -> Callable[[], list[bytes]]:
    folder = AUTHORITIES / "tracks"
    return lambda: [one.read_bytes() for one in sorted(folder.glob(f"*.{ending}"))]


def old_tables() -> list[bytes]:
    rows = "".join(f"2026-05-01,22:59:{n:02d},47.{n},11.{n},{600 + n}\n" for n in range(30))
    ours = (AUTHORITIES / "tracks" / "climb.csv").read_bytes()
    return [b"date,time,lat,lon,alt_ft\n" + rows.encode(), ours]
