"""farglide links: from files to the strength of every link along the flight."""

from typing import Final

from farglide.cli.inputs import Wanted, edited_lines, flight_and_pack, refuse_payload
from farglide.cli.outfiles import check_out, write_texts
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.errors import check_range
from farglide.outlook.links import FlightLinks
from farglide.plan.plan import USUAL_DB, hear
from farglide.plan.weak.weaker import LARGEST_DB
from farglide.present.draw.margins import Ending, margins_svg
from farglide.present.lines import blocks
from farglide.present.say.hardware import failure_lines
from farglide.present.say.links.hearing import hearing_lines, what_if_lines
from farglide.present.say.links.weaker import weaker_table
from farglide.present.say.text import FlightClock

MARGINS: Final = "links.svg"


def links_text(wanted: Wanted, less_db: float | None, ready: Ready) -> str:
    """Return the links of a flight in words, and write the margin curves where asked for.

    `less_db`: all about links so much weaker, alone.
    """
    check_out(wanted.out)
    if less_db is not None:
        check_range("--less-db", less_db, "dB", (0.0, LARGEST_DB), "9 stands for 9 dB weaker.")
    losses_db = USUAL_DB if less_db is None else (less_db,)
    flight, pack = flight_and_pack(wanted)
    refuse_payload(flight, "links")
    ready()
    heard = hear(flight, pack, workers=on_threads(), losses_db=losses_db)
    told = blocks(edited_lines(flight), *_told(heard, less_db), _curves(heard, wanted))
    return "\n".join(told)


def _told(heard: FlightLinks, less_db: float | None) -> list[list[str]]:
    if less_db is not None and heard.weaker:
        return [what_if_lines(heard)]
    if not heard.outlook.links:
        return [hearing_lines(heard)]
    weaker = weaker_table(heard.weaker, heard.field)
    return [hearing_lines(heard), weaker, failure_lines(heard.failures)]


def _curves(heard: FlightLinks, wanted: Wanted) -> list[str]:
    """Write the margin curves where a folder is asked for; return where they are."""
    if wanted.out is None or not heard.outlook.links:
        return []
    clock = FlightClock(launch_t_s=heard.launch_t_s, zone=heard.zone)
    words = "release by" if heard.field else "5 in 10 have burst by"
    end = Ending(heard.release_after_launch_s, words)
    write_texts({MARGINS: margins_svg(heard.outlook.links, clock, end)}, wanted.out)
    return [f"Margin curves: {wanted.out / MARGINS}"]
