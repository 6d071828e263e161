"""Logs of made-up flights, as a ride of the demo would have written them."""

from dataclasses import replace
from pathlib import Path

from farglide.cli.plan import DEMO
from farglide.flightfile.flightfile import read_flight_file
from farglide.gather.gather import gather_winds
from farglide.live.asking import as_planned
from farglide.live.rehearse.surprises import Changes
from farglide.live.ride.entered import entry_kind, entry_payload
from farglide.packfile.winds import winds_text
from farglide.plan.planned import settled
from farglide.sim.core.workers import in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.track.journal.frame import Kind
from farglide.track.journal.head import Head
from farglide.track.journal.journal import Moment
from farglide.track.journal.opening import begin
from farglide.track.journal.payload import fix_payload, payload_of
from farglide.track.reports import Fix
from farglide.track.typed.entries import Grade, Mark, MarkKind

from ..review.made import Made, flight
from .commands import WINDS

GRAIN = Grain(n_draws=60, clock_s=60.0, prices_mps=(8.0, 30.0), slab=5)
LET_GO_S = 4300.0


def made_flight(seed: int = 0, changes: Changes | None = None) -> Made:
    """Return a flight of the demo, let go before its burst."""
    found = read_flight_file(DEMO)
    sounding = gather_winds(found.sortie, WINDS)
    pack = Pack(flight_text="", sounding=sounding)
    sortie = replace(settled(found, pack).sortie, links=(), terrain=None)
    planned = as_planned(sortie, pack, GRAIN, in_one_go)
    return flight(planned, changes or Changes(), seed, LET_GO_S)


def demo_head(flight_text: str | None = None) -> Head:
    """Return the head of a ride of the demo."""
    sortie = read_flight_file(DEMO).sortie
    text = flight_text or DEMO.read_text(encoding="utf-8")
    return Head(flight=text, manifest="", winds=winds_text(gather_winds(sortie, WINDS)),
                program="0")  # fmt: skip


def write_ride(path: Path, made: Made, head: Head) -> Path:
    """Write a flight as the finished log of a ride: marks, fixes, a grade each ten minutes."""
    t0_s = made.flown.fixes[0].t_s or 0.0
    rows = [(one.t_s or 0.0, Kind.FIX, fix_payload(one)) for one in made.flown.fixes]
    kinds = {"launched": MarkKind.LAUNCHED, "release sent": MarkKind.SENT,
             "released": MarkKind.RELEASED}  # fmt: skip
    entries = [(each.t_s, Mark(kind=kinds[each.what.value])) for each in made.flown.marked]
    entries += [(t0_s + t_s, Grade(grade=5)) for t_s in range(600, 4000, 600)]  # type: ignore[misc]
    for t_s, entry in entries:
        rows.append((t_s, entry_kind(entry), entry_payload(entry, float(t_s), "")))
    journal = begin(path, head, Moment(0.0, t0_s - 60.0))
    for t_s, kind, payload in sorted(rows, key=lambda row: row[0]):
        journal.append(kind, payload, Moment(t_s - t0_s + 60.0, t_s))
    end_s = made.flown.fixes[-1].t_s or 0.0
    journal.append(Kind.END, payload_of({}), Moment(end_s - t0_s + 61.0, end_s + 1.0))
    journal.close()
    return path


def write_track(path: Path, fixes: tuple[Fix, ...]) -> Path:
    """Write fixes as a table of others."""
    rows = ["time,lat,lon,alt"]
    rows += [f"{one.t_s},{one.lat_deg:.6f},{one.lon_deg:.6f},{one.height_m}" for one in fixes]
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path
