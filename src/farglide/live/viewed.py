"""Viewed: a running ride as one value to show."""

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from farglide.live.feeds.reader import Condition, State
from farglide.live.ride.phase import Phase, phase_of
from farglide.live.ride.stage import stage_of
from farglide.live.ride.state import Ride
from farglide.live.ride.tables import Tables
from farglide.live.running import Running
from farglide.outlook.after import Stage
from farglide.outlook.rideview import FeedAge, Remark, RideView
from farglide.sortie.feeds import FeedSpec
from farglide.track.journal.journal import Moment

_N_ENTRIES: Final = 5
_N_ODD: Final = 5
_ODD_S: Final = 600.0
_WHYS: Final = {
    Phase.HAND: "On the hand. Type launched when it leaves it.",
    Phase.DOWN: "Down: look for it with farglide search.",
}


class Listened:
    """What is known of the feeds beside their fixes: their threads, and what found no room."""

    def __init__(
        self,
        specs: Sequence[FeedSpec],
        conditions: Mapping[str, Condition],
        lost_bytes: Callable[[str], int],
    ) -> None:
        self._specs, self._conditions, self._lost_bytes = specs, conditions, lost_bytes

    def ages(self, ride: Ride, now_s: float) -> tuple[FeedAge, ...]:
        """Return how each feed fares at a monotonic time."""
        return tuple(self._age(ride, spec, now_s) for spec in self._specs)

    def _age(self, ride: Ride, spec: FeedSpec, now_s: float) -> FeedAge:
        feed = ride.feed(spec.name)
        return FeedAge(
            name=spec.name,
            of=spec.of,
            heard_ago_s=None if feed.heard_s is None else now_s - feed.heard_s,
            placed_ago_s=None if feed.believed_s is None else now_s - feed.believed_s,
            trouble=self._trouble(spec.name),
        )

    def _trouble(self, name: str) -> str:
        condition, n_lost = self._conditions.get(name), self._lost_bytes(name)
        if condition is not None and condition.state is State.AWAY:
            return f"not there: {condition.why}"
        if condition is not None and condition.state is State.ENDED:
            return "read to its end"
        return f"{n_lost} bytes lost" if n_lost else ""


def view_of(
    running: Running,
    listened: Listened,
    answer: str,
    now: Moment,
    card: tuple[str, ...] = (),
) -> RideView:
    """Return what a ride shows now; `answer`: to the line typed last, `card`: to a question."""
    ride, session, alarm = running.ride, running.session, running.journal.alarm
    now_t_s, launch = ride.now_t_s(*now), session.launch(ride)
    phase, used, told_s = phase_of(ride, launch, now_t_s), ride.used, ride.told.at_s
    return RideView(
        now_t_s=now_t_s,
        launch_t_s=launch.t_s,
        zone=launch.zone,
        phase=_phase_words(running, phase, now_t_s),
        advice=running.advice,
        why=_WHYS.get(phase) or _why(running),
        advised_ago_s=None if told_s is None else now.monotonic_s - told_s,
        tables_ago_s=None if used is None else now_t_s - used.asked_t_s,
        is_summing=running.beside.is_busy,
        feeds=listened.ages(ride, now.monotonic_s),
        entries=tuple(Remark(t_s=one.t_s, words=one.words) for one in ride.entries[-_N_ENTRIES:]),
        odd=tuple(
            Remark(t_s=ride.now_t_s(one.at_s, now.utc_s), words=one.text)
            for one in ride.noted[-_N_ODD:]
            if now.monotonic_s - one.at_s < _ODD_S
        ),
        alarm="" if alarm is None else alarm.words(),
        answer=answer,
        card=card,
    )


def _phase_words(running: Running, phase: Phase, now_t_s: float) -> str:
    """Return what has happened; a mark that what it does since contradicts is not believed."""
    ride = running.ride
    staged = stage_of(ride, running.session.launch(ride), now_t_s)
    if staged.stage is Stage.CARRIED and phase in (Phase.RELEASED, Phase.BURST):
        return Phase.CLIMB.value
    return phase.value


def _why(running: Running) -> str:
    """Return why there is no advice in the air; empty where there is one."""
    if running.ride.used is None:
        return "Summing the way home: advice follows."
    made = running.session.made(running.ride)
    return "" if isinstance(made, Tables) else str(made)
