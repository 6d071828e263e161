"""farglide ask: one question of a flight in the air, by a log, a track, or typed digits alone."""

from dataclasses import replace
from functools import cache
from typing import Final, NamedTuple

from farglide.chances.ensemble import Ensemble
from farglide.cli.answers import document_text
from farglide.cli.askstated import (
    Typed,
    asked_t_s,
    car_told,
    card_named,
    fields_left,
    grade_told,
    launched,
    stated,
)
from farglide.cli.inputs import Wanted, flight_and_pack, refuse_payload
from farglide.cli.questions import QUESTIONS, Answered, dated, replied
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.live.asked.moment import Told
from farglide.live.asking import as_planned
from farglide.live.carried import carried, task_at
from farglide.live.expecting import expected
from farglide.live.loosened.asking import Asking, loose_flight
from farglide.live.loosened.flight import LooseFlight
from farglide.live.loosened.landed import landed_now
from farglide.live.ride.asflown import roads_typed
from farglide.live.ride.phase import Phase, launch_of, phase_of
from farglide.live.ride.slow import Flight, Maker
from farglide.live.ride.state import Ride
from farglide.live.stated import with_car, with_car_feed, with_falls
from farglide.plan.planned import settled
from farglide.present.say.asked.loose.landed import landed_reply
from farglide.present.say.text import FlightClock
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack

_FEW: Final = 100


class Answer(NamedTuple):
    """An answer, and what is to be noted of it."""

    told: Answered
    notes: tuple[str, ...]


class _At(NamedTuple):
    """When it is asked, UTC, of which ride, and what was told beside it."""

    ride: Ride
    now_t_s: float
    told: Told


def answered(wanted: Wanted, typed: Typed, grain: Grain, ready: Ready) -> Answer:
    """Return the answer that a command line asks for. Raises InputError and SourceError."""
    question = QUESTIONS.get(typed.question)
    if question is None:
        raise InputError("QUESTION", repr(typed.question), ", ".join(QUESTIONS))
    card = None if typed.card is None else card_named(typed.card)
    flight, pack = flight_and_pack(wanted)
    refuse_payload(flight, "ask")
    written = flight.sortie
    ready = cache(ready)
    ride, notes = stated(
        typed,
        written,
        lambda t_s, last: expected(_few_planned(flight, pack, typed, ready), t_s, last),
    )
    now_t_s = asked_t_s(typed, ride, written)
    ride = replace(ride, entries=tuple(one for one in ride.entries if one.t_s <= now_t_s))
    launch = launched(launch_of(ride, written.launch), typed.launched)
    car = car_told(typed, ride, written)
    fields = fields_left(written, ride)
    clock = FlightClock(launch_t_s=launch.t_s, zone=launch.zone)
    if phase_of(ride, launch, now_t_s) is Phase.DOWN:
        found = landed_now(ride, launch, now_t_s)
        landed = replied(landed_reply(found, clock), found)
        return Answer(dated(landed, now_t_s - launch.t_s, clock), notes)
    ready()
    sortie = replace(settled(flight, pack).sortie, launch=launch, fields=fields)
    grain = replace(grain, n_draws=min(grain.n_draws, question.most_draws))
    roads, grade = roads_typed(ride.entries), grade_told(typed, ride)
    told = Told(car=car, written=written, roads=roads, grade=grade, fault=card)
    drawn = Flight(sortie=sortie, pack=pack, grain=grain, workers=on_threads())
    loose = _loose(drawn, _At(ride, now_t_s, told))
    if loose is not None:
        return Answer(question.answered(loose, clock), notes)
    asked, more = carried(drawn, task_at(drawn, ride, now_t_s), told)
    return Answer(question.answered(asked, clock), (*notes, *more))


def _few_planned(flight: FlightFile, pack: Pack, typed: Typed, ready: Ready) -> Ensemble:
    """Return some draws of the plan: enough to tell where it is about."""
    ready()
    sortie = settled(flight, pack).sortie
    sortie = replace(sortie, launch=launched(sortie.launch, typed.launched))
    return as_planned(sortie, pack, Grain(n_draws=_FEW), on_threads())


def answer_text(answer: Answer) -> str:
    """Return an answer in words."""
    return "\n".join(answer.told.lines)


def answer_document(answer: Answer) -> str:
    """Return an answer as one JSON document."""
    return document_text(answer.told.found)


def _loose(flight: Flight, at: _At) -> LooseFlight | None:
    """Return a flight after its release or burst, to be asked; None while it is carried."""
    sortie, ride = flight.sortie, at.ride
    ride = with_falls(ride, sortie.launch) if ride.loosed is None else ride
    specs = with_car_feed(sortie.feeds)
    if at.told.car is not None:
        ride = with_car(ride, specs, at.told.car, at.now_t_s)
    asking = Asking(sortie=sortie, specs=specs, make=Maker(flight), terrain=flight.pack.terrain)
    return loose_flight(asking, ride, at.now_t_s, at.told)
