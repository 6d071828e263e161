"""farglide links: from files to the strength of every link along the flight."""

from pathlib import Path
from typing import Final

from farglide.cli.outfiles import check_out, write_texts
from farglide.cli.plan import Wanted, flight_and_pack
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.present.hardware import failure_lines
from farglide.present.hearing import hearing_lines
from farglide.present.margins import margins_svg
from farglide.present.text import FlightClock
from farglide.sortie.hear import hear

MARGINS: Final = "links.svg"


def links_text(
    source: tuple[Path | None, Path | None, Path | None], out: Path | None, ready: Ready
) -> str:
    """Return the links of a flight in words, and write the margin curves where asked for.

    `source`: flight file, winds, and the folder of a gathered pack.
    """
    file, winds, folder = source
    check_out(out)
    wanted = Wanted(file=file, winds=winds, pack=folder, n_draws=1000, seed=1, out=out)
    flight, pack = flight_and_pack(wanted)
    ready()
    heard = hear(flight, pack, workers=on_threads())
    lines = hearing_lines(heard)
    known = heard.outlook.links
    if out is not None and known:
        clock = FlightClock(launch_t_s=heard.launch_t_s, zone=heard.zone)
        curves = margins_svg(known, clock, heard.release_after_launch_s)
        write_texts({MARGINS: curves}, out)
        lines += ["", f"Margin curves: {out / MARGINS}"]
    return "\n".join([*lines, "", *failure_lines(heard.failures)] if known else lines)
