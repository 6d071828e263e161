"""Viewed: a running ride as one value to show."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from farglide.live.feeds.reader import Condition, State
from farglide.live.lies import lies_at
from farglide.live.ride.phase import Phase, phase_of
from farglide.live.ride.stage import stage_of
from farglide.live.ride.state import Ride
from farglide.live.running import Running
from farglide.outlook.advice import Advice
from farglide.outlook.after import Stage
from farglide.outlook.rideview import FeedAge, HeardAt, Remark, RideView
from farglide.sortie.feeds import FeedSpec
from farglide.track.heights import amsl_m
from farglide.track.journal.journal import Moment

_N_ENTRIES: Final = 5
_N_ODD: Final = 5
_ODD_S: Final = 600.0
_LATE_S: Final = 2.0 * 3600.0
_EARLY_S: Final = 12.0 * 3600.0
"""A launch that is so far off is another day's, or a slip in the flight file; common practice."""
_FIRST: Final = "the climb, the winds and the ways home"
_WHYS: Final = {
    Phase.HAND: "On the hand. Type launched when it leaves it.",
    Phase.DOWN: "It is down, and was never seen. Look where it was expected.",
}
_LOOSE: Final = {
    Stage.CARRIED: "climbing",
    Stage.DROPPED: "let go, not level yet",
    Stage.GLIDING: "gliding",
    Stage.TIED_ON: "falling, tied on",
    Stage.UNSTEERED: "not steered",
    Stage.DOWN: "down by its height",
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What is shown beside the ride itself.

    `answer`: to the line typed last; `card`: to a question; `doing`: what is done ahead of the
    first answer, empty for what is always done; `oldest_s`: when the oldest came that waits to be
    taken, monotonic, None where nothing waits; `pace`: so many seconds of the flight in one.
    """

    answer: str = ""
    card: tuple[str, ...] = ()
    card_page: int = 0
    doing: str = ""
    oldest_s: float | None = None
    pace: float = 1.0


def view_of(running: Running, listened: Listened, said: Said, now: Moment) -> RideView:
    """Return what a ride shows now. It steps nothing, and may be asked by another thread."""
    ride, session, alarm = running.ride, running.session, running.journal.alarm
    now_t_s, launch = ride.now_t_s(*now), session.launch(ride)
    phase, used, told_s = phase_of(ride, launch, now_t_s), ride.used, ride.told.at_s
    is_loose = stage_of(ride, launch, now_t_s).stage is not Stage.CARRIED
    is_summing = running.beside.is_busy
    return RideView(
        now_t_s=now_t_s,
        launch_t_s=launch.t_s,
        zone=launch.zone,
        phase=_phase_words(phase, running.advice, is_loose=is_loose),
        advice=running.advice,
        why=_WHYS.get(phase) or _why(running, said.doing),
        advised_ago_s=None if told_s is None else now.monotonic_s - told_s,
        tables_ago_s=None if used is None else now_t_s - used.asked_t_s,
        is_summing=is_summing,
        feeds=listened.ages(ride, now.monotonic_s),
        entries=tuple(Remark(t_s=one.t_s, words=one.words) for one in ride.entries[-_N_ENTRIES:]),
        odd=tuple(
            Remark(t_s=ride.now_t_s(one.at_s, now.utc_s), words=one.text)
            for one in ride.noted[-_N_ODD:]
            if now.monotonic_s - one.at_s < _ODD_S
        ),
        alarm="" if alarm is None else alarm.words(),
        answer=said.answer,
        card=said.card,
        card_page=said.card_page,
        is_loose=is_loose,
        behind_s=_behind_s(running, said.oldest_s, now.monotonic_s),
        summing_s=_summing_s(running, now.monotonic_s),
        launch_off_s=launch_off_s(phase, now_t_s, launch.t_s, session.sortie.launch.t_s),
        heard=_heard(ride),
        doing=said.doing,
        pace=said.pace,
        lies=lies_at(ride, launch, session.crew(ride), running.advice),
    )


def launch_off_s(
    phase: Phase, now_t_s: float, launch_t_s: float, planned_t_s: float
) -> float | None:
    """Return how far the launch is off the flight file, None where that is no matter of hours.

    On the hand by the clock, later as it was; more than zero is later than planned.

    >>> launch_off_s(Phase.HAND, 9000.0, 0.0, 0.0), launch_off_s(Phase.HAND, -9000.0, 0.0, 0.0)
    (9000.0, None)
    >>> launch_off_s(Phase.CLIMB, -9000.0, -10_800.0, 0.0)
    -10800.0
    """
    if phase is Phase.HAND:
        off_s = now_t_s - launch_t_s
        return off_s if off_s > _LATE_S or off_s < -_EARLY_S else None
    off_s = launch_t_s - planned_t_s
    return off_s if abs(off_s) > _LATE_S else None


def _behind_s(running: Running, oldest_s: float | None, now_s: float) -> float:
    """Return how old the oldest is that was heard and is not counted yet; 0 where nothing waits."""
    waiting = [one for one in (running.taking_s, oldest_s) if one is not None]
    return max(now_s - min(waiting), 0.0) if waiting else 0.0


def _heard(ride: Ride) -> HeardAt | None:
    fix = ride.balloon
    if fix is None or fix.t_s is None:
        return None
    return HeardAt(t_s=fix.t_s, lat_deg=fix.lat_deg, lon_deg=fix.lon_deg, amsl_m=amsl_m(fix))


def _phase_words(phase: Phase, advice: Advice | None, *, is_loose: bool) -> str:
    """Return what has happened, once it is loose by what it does since.

    A mark of a release or a burst that it climbs on from is not believed.
    """
    if not is_loose:
        return Phase.CLIMB.value if phase in (Phase.RELEASED, Phase.BURST) else phase.value
    if phase is Phase.DOWN or advice is None or advice.after is None:
        return phase.value
    return _LOOSE[advice.stage]


def _why(running: Running, doing: str) -> str:
    """Return why there is no advice in the air; empty where there is one."""
    if running.ride.used is None or (running.advice is None and not running.trouble):
        return f"Computing the first answer: {doing or _FIRST}."
    return running.trouble


def _summing_s(running: Running, now_s: float) -> float | None:
    """Return how long tables are being made, all that the first answer took; None: none are.

    Until there is one they may be summed anew, for a launch that fixes tell better: it counts on.
    """
    if running.advice is None and running.first_s is not None and not running.trouble:
        return now_s - running.first_s
    return now_s - running.begun_s if running.beside.is_busy else None
