"""farglide check LOG: what stands in the log of a ride, and whether it can be gone on with."""

from collections import Counter
from pathlib import Path
from typing import Final

from farglide.earth.clock import clock_text, date_text
from farglide.errors import InputError
from farglide.track.journal.frame import Kind
from farglide.track.journal.reader import Survey, left_words, open_log, survey

_NOUNS: Final = {
    Kind.HEAD: "head",
    Kind.RAW: "bytes of feeds",
    Kind.FIX: "fixes",
    Kind.TYPED: "entries",
    Kind.TICK: "ticks",
    Kind.LEARNT: "learnt tables",
    Kind.ADVICE: "advice",
    Kind.MARK: "marks",
    Kind.UNDO: "taken back",
    Kind.NOTE: "notes",
    Kind.END: "ends",
}


def log_check_text(path: Path) -> str:
    """Return what a log holds, how it ends, and what is missing; raise SourceError without one."""
    found = survey(path)
    state = "a finished log" if found.is_finished else "an unfinished log"
    kinds = _counts(path)
    told = ", ".join(f"{_NOUNS[kind]} {n}" for kind, n in sorted(kinds.items()))
    lasted_s = found.last.monotonic_s - found.began.monotonic_s
    lines = [
        f"{path}: {state} of {found.n_records} records",
        "",
        f"  begun: {_when(found)} by farglide {found.head.program}",
        f"  length: {lasted_s / 60.0:.1f} min",
        f"  records: {told}",
    ]
    if found.n_lost:
        lines.append(f"  lost: {found.n_lost}, which never reached the log")
    if found.n_left:
        lines.append(f"  {left_words(found)}")
    if not found.is_finished:
        lines += ["", "Nothing that stands in it is lost: the ride can go on with it."]
    return "\n".join(lines)


def _when(found: Survey) -> str:
    """Return the beginning by the clock of the machine that wrote it, which may have been wrong."""
    t_s = found.began.utc_s
    try:
        return f"{date_text(t_s, 'UTC')}, {clock_text(t_s, 'UTC')} UTC"
    except InputError:
        return "at a time that its clock did not know"


def _counts(path: Path) -> Counter[Kind]:
    with open_log(path) as (_, scan):
        return Counter(record.kind for record in scan)
