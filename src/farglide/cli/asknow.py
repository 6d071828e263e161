"""farglide ask: one question of a balloon in the air, by a track or a log of it."""

from dataclasses import dataclass, replace
from pathlib import Path

from farglide.cli.answers import document_text
from farglide.cli.export import read_fixes
from farglide.cli.inputs import Wanted, flight_and_pack, refuse_payload
from farglide.cli.moments import moment_of
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.errors import InputError
from farglide.live.asking import advice_at, as_planned
from farglide.live.resume import ridden_of
from farglide.outlook.advice import Advice
from farglide.plan.planned import settled
from farglide.present.say.advice import QUESTIONS, answer_lines
from farglide.present.say.text import FlightClock
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Launch
from farglide.track.journal.reader import is_log
from farglide.track.reports import Fix


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What the command line told, word for word."""

    question: str
    track: Path
    feed: str | None = None
    launched: str | None = None
    at: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """An advice, whose question it answers, and the clock that it is told by."""

    question: str
    advice: Advice
    clock: FlightClock
    notes: tuple[str, ...]


def answered(wanted: Wanted, typed: Typed, grain: Grain, ready: Ready) -> Answer:
    """Return the answer that a command line asks for. Raises InputError and SourceError."""
    if typed.question not in QUESTIONS:
        raise InputError("QUESTION", repr(typed.question), ", ".join(QUESTIONS))
    flight, pack = flight_and_pack(wanted)
    refuse_payload(flight, "ask")
    fixes, notes = read_fixes(typed.track)
    launch, fields = flight.sortie.launch, flight.sortie.fields
    if typed.feed is None and is_log(typed.track):
        ridden = ridden_of(typed.track, flight.sortie)
        fixes, launch, fields = ridden.fixes, ridden.launch, ridden.fields
    else:
        fixes = _of_feed(fixes, typed.feed)
    launch = _launched(launch, typed.launched)
    now_t_s = moment_of("--at", typed.at, launch) if typed.at else _newest_t_s(fixes)
    ready()
    flight = settled(flight, pack)
    sortie = replace(flight.sortie, launch=launch, fields=fields)
    planned = as_planned(sortie, pack, grain, on_threads())
    advice = advice_at(planned, fixes, now_t_s)
    clock = FlightClock(launch_t_s=launch.t_s, zone=launch.zone)
    return Answer(question=typed.question, advice=advice, clock=clock, notes=notes)


def answer_text(answer: Answer) -> str:
    """Return an answer in words."""
    return "\n".join(answer_lines(answer.question, answer.advice, answer.clock))


def answer_document(answer: Answer) -> str:
    """Return the whole advice as one JSON document, whatever was asked."""
    return document_text(answer.advice)


def _of_feed(fixes: tuple[Fix, ...], feed: str | None) -> tuple[Fix, ...]:
    """Return the fixes of one feed: the one named, or the only one."""
    feeds = list(dict.fromkeys(fix.feed for fix in fixes))
    if feed is None and len(feeds) <= 1:
        return fixes
    if feed not in feeds:
        told = "missing" if feed is None else repr(feed)
        remedy = "Which of them is on the balloon?"
        raise InputError("--feed", told, ", ".join(map(repr, feeds)), remedy)
    return tuple(fix for fix in fixes if fix.feed == feed)


def _launched(launch: Launch, text: str | None) -> Launch:
    """Return the launch as it was: at the time told, else as planned."""
    return replace(launch, t_s=moment_of("--launched", text, launch)) if text else launch


def _newest_t_s(fixes: tuple[Fix, ...]) -> float:
    """Return the time of the newest fix: without another word that is now."""
    times = [fix.t_s for fix in fixes if fix.t_s is not None]
    if not times:
        raise InputError("--track", "without a time in any fix", "fixes with times")
    return max(times)
