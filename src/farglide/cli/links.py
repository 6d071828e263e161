"""farglide links: from files to the strength of every link along the flight."""

from pathlib import Path

from farglide.cli.plan import Wanted, flight_and_pack
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.present.hardware import failure_lines
from farglide.present.hearing import hearing_lines
from farglide.sortie.hear import hear


def links_text(file: Path | None, winds: Path | None, folder: Path | None, ready: Ready) -> str:
    """Return the links of a flight in words. `folder`: a gathered pack."""
    wanted = Wanted(file=file, winds=winds, pack=folder, n_draws=200, seed=1, out=None)
    flight, pack = flight_and_pack(wanted)
    ready()
    heard = hear(flight, pack, workers=on_threads())
    lines = hearing_lines(heard)
    known = heard.outlook.links
    return "\n".join([*lines, "", *failure_lines(heard.failures)] if known else lines)
