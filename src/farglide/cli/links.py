"""farglide links: from files to the strength of every link along the flight."""

from farglide.cli.plan import Wanted, flight_and_pack
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.errors import check_range
from farglide.present.hardware import failure_lines
from farglide.present.hearing import hearing_lines, what_if_lines
from farglide.present.weaker import weaker_table
from farglide.sortie.hear import USUAL_DB, hear
from farglide.sortie.weaker import LARGEST_DB


def links_text(wanted: Wanted, less_db: float | None, ready: Ready) -> str:
    """Return the links of a flight in words; `less_db`: all about links so much weaker alone."""
    losses_db = USUAL_DB if less_db is None else (_checked_db(less_db),)
    flight, pack = flight_and_pack(wanted)
    ready()
    heard = hear(flight, pack, workers=on_threads(), losses_db=losses_db)
    if less_db is not None and heard.weaker:
        return "\n".join(what_if_lines(heard))
    lines = hearing_lines(heard)
    if not heard.outlook.links:
        return "\n".join(lines)
    weaker = weaker_table(heard.weaker, heard.field)
    return "\n".join(
        [*lines, *([""] if weaker else []), *weaker, "", *failure_lines(heard.failures)]
    )


def _checked_db(less_db: float) -> float:
    check_range("--less-db", less_db, "dB", (0.0, LARGEST_DB), "9 stands for 9 dB weaker.")
    return less_db
