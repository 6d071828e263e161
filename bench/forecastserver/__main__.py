"""A server of forecasts on this computer: `python -m bench.forecastserver FILE_OR_FOLDER`.

A folder is served as it lies, in the manner of the producers: files with ranges, an index beside
each, and a script that cuts an area out. A file of GRIB 2 stands in for every run of the last days
and every hour of it, the times in its messages set to what was asked for. `--addresses FILE` writes
a file of addresses that leads `farglide gather --addresses FILE` here.
"""

import argparse
import sys
import time
from pathlib import Path
from threading import Event

from bench.forecastserver.fields import read_world
from bench.forecastserver.library import Library
from bench.forecastserver.server import Manner, serving
from bench.forecastserver.written import Stamp
from farglide.gather.fetch.addresses import read_addresses
from farglide.gather.fetch.source import HOUR_S, Gives, Kind

_DAYS_KEPT = 10.0
_APPEARS_S = 4.0 * HOUR_S
_WRITTEN_AN_HOUR = 100.0
"""How many hours of a forecast are written in one, so that the newest run may be half there."""


def is_there(stamp: Stamp) -> bool:
    """Tell whether a run's hour is there by the clock of this computer."""
    since_s = time.time() - stamp.run_t_s - _APPEARS_S - HOUR_S * stamp.step_h / _WRITTEN_AN_HOUR
    return 0.0 <= since_s <= 24.0 * HOUR_S * _DAYS_KEPT


def addresses_text(base: str, stand_in: Path | None) -> str:
    """Return a file of addresses that asks forecasts of a server at `base`, without pauses."""
    lines = []
    for source in read_addresses():
        lines.append(f"[{source.key}]")
        if source.kind not in (Kind.CROPPED, Kind.WHOLE) or source.gives is Gives.MORE_LEVELS:
            lines.append("use = false")
            continue
        path = source.addresses[0].partition("://")[2].partition("/")[2]
        lines += [f'address = "{base}/{path}"', "pause_s = 0"]
        if source.kind is Kind.WHOLE:
            lines += ["mirrors = []", "least_messages = 0"]
        if stand_in is not None:
            lines += _held(stand_in)
    return "\n".join(lines) + "\n"


def _held(stand_in: Path) -> list[str]:
    """Return the levels and fields that a file holds on all of them."""
    pairs = set(read_world(stand_in).fields)
    levels = sorted({hpa for _, hpa in pairs}, reverse=True)
    fields = [
        one for one in ("HGT", "TMP", "UGRD", "VGRD") if all((one, p) in pairs for p in levels)
    ]
    return [
        f"levels_hpa = {[int(p) if p == int(p) else p for p in levels]}",
        f"fields = {fields}".replace("'", '"'), "lacking = []",
    ]  # fmt: skip


def main() -> None:
    """Serve until it is ended with Ctrl-C."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("place", type=Path)
    parser.add_argument("--port", type=int, default=0)
    parser.add_argument("--addresses", type=Path)
    parser.add_argument("--megabytes-a-second", type=float, default=0.0)
    parser.add_argument("--without-cropping", action="store_true")
    wanted = parser.parse_args()
    stand_in = wanted.place if wanted.place.is_file() else None
    library = Library(
        folder=None if stand_in else wanted.place, stand_in=stand_in, is_there=is_there
    )
    manner = Manner(
        library, bytes_a_second=1e6 * wanted.megabytes_a_second, crops=not wanted.without_cropping
    )
    with serving(manner, wanted.port) as base:
        if wanted.addresses:
            wanted.addresses.write_text(addresses_text(base, stand_in), encoding="utf-8")
        sys.stdout.write(f"serving {wanted.place} at {base}; end with Ctrl-C\n")
        sys.stdout.flush()
        try:
            Event().wait()
        except KeyboardInterrupt:
            sys.stdout.write("ended\n")


if __name__ == "__main__":
    main()
