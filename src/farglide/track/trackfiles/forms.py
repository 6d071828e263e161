"""Forms: the formats of tracks, out by name and in by content."""

from collections.abc import Callable, Iterable, Iterator
from enum import StrEnum
from pathlib import Path
from typing import Final

from farglide.errors import SourceError
from farglide.track.heights import amsl_m, hae_m
from farglide.track.reports import Fix
from farglide.track.trackfiles.columns import COLUMNS, csv_lines, read_csv
from farglide.track.trackfiles.geojson import geojson_lines, read_geojson
from farglide.track.trackfiles.gpx import gpx_lines, read_gpx
from farglide.track.trackfiles.igc import MAKER, igc_lines, n_without_height, n_without_time
from farglide.track.trackfiles.igcread import read_igc
from farglide.track.trackfiles.kml import kml_lines, read_kml
from farglide.track.trackfiles.taking import TrackRead, unread

_SNIFFED_BYTES: Final = 4096
_LARGEST_BYTES: Final = 1 << 29


class Form(StrEnum):
    """A format of tracks, by the ending of its files."""

    GPX = "gpx"
    KML = "kml"
    CSV = "csv"
    GEOJSON = "geojson"
    IGC = "igc"


_WRITERS: Final[dict[Form, Callable[[Iterable[Fix]], Iterator[str]]]] = {
    Form.GPX: gpx_lines,
    Form.KML: kml_lines,
    Form.CSV: csv_lines,
    Form.GEOJSON: geojson_lines,
    Form.IGC: igc_lines,
}
_READERS: Final[dict[Form, Callable[[Path], TrackRead]]] = {
    Form.GPX: read_gpx,
    Form.KML: read_kml,
    Form.CSV: read_csv,
    Form.GEOJSON: read_geojson,
    Form.IGC: read_igc,
}
_OWN: Final = {
    Form.GPX: b'creator="farglide"',
    Form.KML: b"<name>Track by farglide</name>",
    Form.CSV: ",".join(COLUMNS).encode(),
    Form.GEOJSON: b'"generator":"farglide"',
    Form.IGC: MAKER.strip().encode(),
}
"""What near its beginning tells that a file was written here."""


def track_lines(form: Form, fixes: Iterable[Fix]) -> Iterator[str]:
    """Yield a track as a file of a format, piece by piece; without fixes a header only."""
    return _WRITERS[form](fixes)


def is_own(form: Form, path: Path) -> bool:
    """Tell whether a file is a track of a format that farglide wrote."""
    with path.open("rb") as file:
        return _OWN[form] in file.read(_SNIFFED_BYTES)


def read_track(path: Path) -> TrackRead:
    """Return the fixes of a track file, its format known by its content; raise SourceError."""
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise unread(str(path), f"is larger than {_LARGEST_BYTES >> 20} MB.", "Cut it down.")
        with path.open("rb") as file:
            form = form_of(file.read(_SNIFFED_BYTES))
        return _READERS[form](path)
    except OSError as error:
        what = f"cannot be read: {error.strerror}."
        raise SourceError(str(path), "", what, "Look at the name and who may read it.") from error


def form_of(head: bytes) -> Form:
    """Return the format of a file by how it begins; what is none of the others is a table."""
    text = head.removeprefix(b"\xef\xbb\xbf").lstrip()
    if text.startswith((b"<", b"\xff\xfe", b"\xfe\xff")):
        return Form.KML if b"<kml" in head else Form.GPX
    if text.startswith(b"{"):
        return Form.GEOJSON
    lines = text.splitlines()
    is_igc = text.startswith(b"A") and any(one.startswith((b"HF", b"B", b"I")) for one in lines)
    return Form.IGC if is_igc else Form.CSV


def unheld_words(form: Form, fixes: Iterable[Fix]) -> list[str]:
    """Return sentences on what a format does not hold of a track as it was told."""
    some = list(fixes)
    said = []
    if form is Form.IGC and (n := n_without_time(some)):
        said.append(f"Left out, since no time is known: {_fixes(n)}.")
    n, kind = _n_without_height(form, some)
    if n:
        said.append(f"No height {kind} is known of {_fixes(n)}: other programs see none there.")
    return said


def _n_without_height(form: Form, fixes: list[Fix]) -> tuple[int, str]:
    """Return how many heights a format cannot show, and which kind it wants."""
    high = [fix for fix in fixes if fix.height_m is not None]
    match form:
        case Form.GPX | Form.KML:
            return sum(amsl_m(fix) is None for fix in high), "above sea level"
        case Form.GEOJSON:
            return sum(hae_m(fix) is None for fix in high), "above the ellipsoid"
        case Form.IGC:
            return n_without_height(fixes), "of the same kind as of the others"
        case Form.CSV:
            return 0, ""


def _fixes(n: int) -> str:
    return f"{n} fix" if n == 1 else f"{n} fixes"
