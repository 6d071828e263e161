"""Served: a rehearsal in the time of a clock, heard on two ports, its release sent by hand."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, closing
from math import inf, isfinite
from typing import Final, NamedTuple

from farglide.live.rehearse.crew import HOME
from farglide.live.rehearse.ended import Flown
from farglide.live.rehearse.flown import let_go, turned
from farglide.live.rehearse.rehearsal import Sent
from farglide.live.rehearse.sent import BEGINS_S, CAR, TRACKER, moments_s
from farglide.live.rehearse.serving import Port
from farglide.live.rehearse.sitting import Sitting
from farglide.live.rehearse.steered import Steered, Turn, straight
from farglide.live.rehearse.stream import Stream
from farglide.live.rehearse.trace import Trace

NO_FIELD: Final = "Which field? Its name, or how it begins: "
HOW: Final = (
    "Type r to send the release for home, or r and a field; after it, turn and a field. For "
    "another than home type it in the ride too: for and the field."
)
DOWN: Final = "It is down. In the ride: type landed, look where it lies, then q and y."
LAUNCHED: Final = "Launched: mark it in the ride, type launched (or l) there."
BURST: Final = (
    "The picture tumbles, its height falls fast: it has burst with all tied on. In the ride: type "
    "burst (or b)."
)
SEND: Final = "Here: send r at once."
TUMBLES: Final = (
    "The pin has let go, but the picture tumbles on: what is left of the balloon holds it."
)
SEES_S: Final = 6.0
"""After a burst: a picture that tumbles and figures that fall are seen by then; a choice."""
_COMMANDS: Final = ("r", "release", "turn")
_LEVEL_S: Final = 2.0
"""So long after it is level a turn is flown: the first rows of a glide are its pull-out."""


class Desk(NamedTuple):
    """Where a rehearsal is sat through: its clock, what is typed, and what is shown.

    `wait_until`: waits until so many seconds of the rehearsal have passed, and tells whether to go
    on; `typed`: lines typed since it was asked last; `say`: shows a line. `ports`: of the tracker
    and the car, 0 for any.
    """

    wait_until: Callable[[float], bool]
    typed: Callable[[], Iterable[str]]
    say: Callable[[str], None]
    ports: tuple[int, int] = (0, 0)


class Ports(NamedTuple):
    """Where both receivers are heard."""

    tracker: Port
    car: Port


class Served(NamedTuple):
    """What was sent of a rehearsal that was served, and how it was steered."""

    sent: Sent
    way: Steered


class _Hand:
    """The commands that a person sent."""

    def __init__(self) -> None:
        self.field = HOME
        self.sent_s: float | None = None
        self.tries_s: list[float] = []  # when each came to the pin
        self.turns: list[Turn] = []
        self.seen: list[tuple[float, str]] = []  # what will be seen of it, and when
        self.flown: Flown | None = None


class _Run:
    """A rehearsal as it goes: what of it was told, and what a person has done."""

    def __init__(self, sitting: Sitting, stream: Stream, desk: Desk) -> None:
        self._sitting, self._stream, self._desk = sitting, stream, desk
        self.hand = _Hand()
        self._says = list(sitting.truth.changes.says)
        self._is_launched = False
        self._falls_s = sitting.lift.burst_s + SEES_S  # NaN: it never bursts

    def path(self, t_s: float) -> Trace:
        """Return the path that is flown: the balloon's, or its own once it is let go."""
        flown = self.hand.flown
        return self._sitting.lift.path if flown is None or t_s < flown.release_s else flown.path

    def tell_launch(self, t_s: float) -> None:
        """Say once that it is launched."""
        if t_s >= 0.0 and not self._is_launched:
            self._is_launched = True
            self._desk.say(LAUNCHED)

    def take_typed(self, t_s: float) -> None:
        """Take what a person typed since it was asked last."""
        for line in self._desk.typed():
            _command(self._sitting, self.hand, t_s, line, self._desk)

    def tell_seen(self, t_s: float) -> None:
        """Say what is seen of what was sent, and a burst that nobody let go before."""
        seen = self.hand.seen
        while seen and seen[0][0] <= t_s:
            self._desk.say(seen.pop(0)[1])
        if self._falls_s <= t_s:
            self._falls_s = inf
            if not _is_free(self.hand, self._sitting.lift.burst_s):
                self._desk.say(BURST if self.hand.flown is not None else f"{BURST} {SEND}")

    def send(self, t_s: float, ports: Ports) -> None:
        """Send what both receivers hear at a moment."""
        for raw in self._stream.at(t_s, self.path(t_s)):
            {TRACKER: ports.tracker, CAR: ports.car}[raw.feed].send(raw.data)

    def tell_heard(self, t_s: float) -> None:
        """Say what others tell the crew, and what the picture shows."""
        while self._says and self._says[0].after_launch_s <= t_s:
            self._desk.say(self._says.pop(0).words)
        if (shown := self._stream.shown(t_s, self.path(t_s))) is not None:
            self._desk.say(f"In the picture: {shown}")


def served(
    sitting: Sitting, seed: int, desk: Desk, begun: Callable[[Ports], None], scripted: Served | None
) -> Served:
    """Return what was sent and how it was steered, after the whole flight was served.

    `begun`: is told the ports before anything is sent; `scripted`: by a crew of ours, None where a
    person flies: `r`, or `r` and a field, to release, `turn` and a field after that. Raises OSError
    where no port can be had.
    """
    run = _Run(sitting, Stream(sitting, seed), desk)
    if scripted is not None:
        run.hand.flown = scripted.way.flown
        run.hand.seen = list(_seen_of(sitting, scripted))
    with ExitStack() as stack:
        ports = Ports(*(stack.enter_context(closing(Port(one))) for one in desk.ports))
        begun(ports)
        for t_s in moments_s(24.0 * 3600.0):
            if not desk.wait_until(t_s - BEGINS_S):
                break
            run.tell_launch(t_s)
            if scripted is None:
                run.take_typed(t_s)
            run.tell_seen(t_s)
            run.send(t_s, ports)
            run.tell_heard(t_s)
            if t_s >= run.path(t_s).end_s:
                desk.say(DOWN)
                break
    return scripted if scripted is not None else _served(sitting, run.hand)


def _command(sitting: Sitting, hand: _Hand, t_s: float, line: str, desk: Desk) -> None:
    """Take a line: the release, or after it the field to turn to; of another say what is wrong."""
    word, _, name = line.strip().partition(" ")
    if word.lower() not in _COMMANDS or t_s < 0.0:
        if word:
            desk.say(HOW)
        return
    field = named_field(sitting, name)
    if field is None:
        desk.say(NO_FIELD + ", ".join(one.name for one in sitting.planned.sortie.fields) + ".")
    elif hand.flown is not None:
        _turn(sitting, hand, t_s, field, desk)
    elif word.lower() == "turn":
        desk.say("It is not released yet. " + HOW)
    else:
        _release(sitting, hand, t_s, field, desk)


def _release(sitting: Sitting, hand: _Hand, t_s: float, field: int, desk: Desk) -> None:
    """Send the release, and say whether the pin followed."""
    changes = sitting.truth.changes
    hand.field, at_s = field, t_s + changes.command_late_s
    hand.sent_s = t_s if hand.sent_s is None else hand.sent_s
    hand.tries_s.append(at_s)
    desk.say("Sent.")
    if len(hand.tries_s) <= changes.n_sticks:
        hand.seen.append((at_s, "Not released."))
        return
    hand.flown = let_go(sitting.truth, sitting.lift, at_s, field)
    free = isfinite(hand.flown.release_s)
    hand.seen.append((at_s, f"Released, for {_name(sitting, field)}." if free else TUMBLES))


def _is_free(hand: _Hand, at_s: float) -> bool:
    """Tell whether the glider is let go before a moment, so that no burst touches it."""
    return hand.flown is not None and hand.flown.release_s <= at_s


def _seen_of(sitting: Sitting, crew: Served) -> Iterator[tuple[float, str]]:
    """Yield what is seen of what a crew of ours does, and when."""
    sent, flown = crew.sent, crew.way.flown
    if sent.sent_s is None:
        return
    yield sent.sent_s, "The crew sends the release."
    stuck = sent.tries_s if sent.free_s is None else sent.tries_s[:-1]
    yield from ((at_s, "Not released.") for at_s in stuck)
    if sent.free_s is not None:
        name = _name(sitting, sent.field)
        yield sent.free_s, f"Released, for {name}." if isfinite(flown.release_s) else TUMBLES
    yield from ((one.t_s, f"Turned, for {_name(sitting, one.field)}.") for one in crew.way.turns)


def _turn(sitting: Sitting, hand: _Hand, t_s: float, field: int, desk: Desk) -> None:
    """Turn what glides to another field, or say why it does not turn."""
    flown, truth, name = hand.flown, sitting.truth, _name(sitting, field)
    now = hand.turns[-1].field if hand.turns else hand.field
    if flown is None or not isfinite(flown.release_s):
        desk.say("It hangs on what is left of the balloon: it does not turn.")
        return
    level_s = float(flown.glide.t_s[0]) + _LEVEL_S
    at_s = max(t_s + truth.changes.command_late_s, level_s)
    if at_s >= min(flown.path.end_s, truth.dead_s):
        desk.say("Nothing turns it any more.")
    elif field == now:
        desk.say(f"It flies for {name} already.")
    else:
        hand.flown = turned(truth, flown, at_s, field)
        hand.turns.append(Turn(at_s, field))
        hand.seen.append((at_s, f"Turned, for {name}."))
        desk.say("Sent." if at_s > level_s else "Sent. It turns once it is level.")


def named_field(sitting: Sitting, name: str) -> int | None:
    """Return the field whose name begins so, home where nothing is said; None: none or several."""
    wanted = name.strip().lower()
    if not wanted:
        return HOME
    names = [one.name.lower() for one in sitting.planned.sortie.fields]
    found = [k for k, one in enumerate(names) if one.startswith(wanted)]
    return found[0] if len(found) == 1 else None


def _name(sitting: Sitting, field: int) -> str:
    return sitting.planned.sortie.fields[field].name


def _served(sitting: Sitting, hand: _Hand) -> Served:
    """Return what a person did; who never let go comes down with all tied on."""
    free_s = hand.tries_s[-1] if hand.flown is not None else None
    sent = Sent(hand.sent_s, hand.field, tuple(hand.tries_s), free_s)
    if hand.flown is None:
        return Served(sent, straight(sitting, None, hand.field))
    return Served(sent, Steered(hand.flown, (), tuple(hand.turns)))
