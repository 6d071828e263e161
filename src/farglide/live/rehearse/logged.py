"""Logged: a rehearsal as the log of a ride, to be read like that of a flight."""

from pathlib import Path

from farglide.live.rehearse.rehearsal import Finished
from farglide.live.rehearse.sent import BEGINS_S
from farglide.live.rehearse.sitting import SPEC, Sitting
from farglide.live.rehearse.stream import raws
from farglide.live.ride.entered import mark_payload
from farglide.live.ride.told import Told, advice_payload
from farglide.outlook.rehearsal import Happened, What
from farglide.track.codecs.nmea import NmeaCodec
from farglide.track.journal.frame import Kind
from farglide.track.journal.head import Head
from farglide.track.journal.journal import Journal, Moment
from farglide.track.journal.opening import begin
from farglide.track.journal.payload import fix_payload, payload_of, raw_payload
from farglide.track.reports import Fix, Raw


def begin_log(path: Path, head: Head, launch_t_s: float) -> Journal:
    """Return a new log, begun a minute before the launch. Raises InputError."""
    return begin(path, head, Moment(0.0, launch_t_s + BEGINS_S))


def write_log(journal: Journal, sitting: Sitting, finished: Finished, seed: int) -> None:
    """Write a whole rehearsal into a log that was begun, and end it.

    Bytes of both feeds, the tracker's fixes, each advice, and what happened as marks, in time.
    """
    launch_t_s = sitting.planned.sortie.launch.t_s
    waiting = list(finished.told.happened)
    codec = NmeaCodec(SPEC)
    for raw in raws(sitting, seed, finished.flown.path):
        now_s = raw.utc_s - launch_t_s
        while waiting and waiting[0].after_launch_s <= now_s:
            _write(journal, waiting.pop(0), launch_t_s)
        _write_raw(journal, raw, codec)
    for one in waiting:
        _write(journal, one, launch_t_s)
    last = journal.last
    journal.append(Kind.END, payload_of({}), Moment(last.monotonic_s, last.utc_s))
    journal.close()


def _write_raw(journal: Journal, raw: Raw, codec: NmeaCodec) -> None:
    when = Moment(raw.monotonic_s, raw.utc_s)
    journal.append(Kind.RAW, raw_payload(raw.feed, raw.data), when)
    if raw.feed != SPEC.name:
        return
    for report in codec.take(raw):
        if isinstance(report, Fix):
            journal.append(Kind.FIX, fix_payload(report), when)


def _write(journal: Journal, one: Happened, launch_t_s: float) -> None:
    when = Moment(one.after_launch_s - BEGINS_S, launch_t_s + one.after_launch_s)
    if one.advice is not None:
        journal.append(Kind.ADVICE, advice_payload(one.advice, Told()), when)
    elif one.what is not What.ADVISED:
        journal.append(Kind.MARK, mark_payload(one.what.value, one.field), when)
