"""Served: a rehearsal in the time of a clock, heard on two ports, its release sent by hand."""

from collections.abc import Callable, Iterable
from contextlib import ExitStack, closing
from typing import NamedTuple

from farglide.live.rehearse.crew import HOME
from farglide.live.rehearse.flown import Flown, let_go
from farglide.live.rehearse.rehearsal import Sent
from farglide.live.rehearse.sent import BEGINS_S, CAR, TRACKER, moments_s
from farglide.live.rehearse.serving import Port
from farglide.live.rehearse.sitting import Sitting
from farglide.live.rehearse.stream import Stream

NO_FIELD = "Which field? Its name, or how it begins: "


class Desk(NamedTuple):
    """Where a rehearsal is sat through: its clock, what is typed, and what is shown.

    `wait_until`: waits until so many seconds of the rehearsal have passed, and tells whether to go
    on; `typed`: lines typed since it was asked last; `say`: shows a line.
    """

    wait_until: Callable[[float], bool]
    typed: Callable[[], Iterable[str]]
    say: Callable[[str], None]


class Ports(NamedTuple):
    """Where both receivers are heard."""

    tracker: Port
    car: Port


class _Hand:
    """The commands that a person sent."""

    def __init__(self) -> None:
        self.field = HOME
        self.sent_s: float | None = None
        self.tries_s: list[float] = []  # when each came to the pin
        self.seen: list[tuple[float, str]] = []  # what will be seen of it, and when
        self.flown: Flown | None = None


def served(
    sitting: Sitting, seed: int, desk: Desk, begun: Callable[[Ports], None], sent: Sent | None
) -> Sent:
    """Return when the release was sent, after the whole flight was served.

    `begun`: is told the ports before anything is sent; `sent`: by a scripted crew, None where a
    person sends it: `r`, or `r` and a field. Raises OSError where no port can be had.
    """
    hand, stream, lift = _Hand(), Stream(sitting, seed), sitting.lift
    said = list(sitting.truth.changes.says)
    if sent is not None:
        hand.flown = let_go(sitting.truth, lift, sent.free_s, sent.field)
    with ExitStack() as stack:
        ports = Ports(*(stack.enter_context(closing(Port())) for _ in Ports._fields))
        begun(ports)
        for t_s in moments_s(24.0 * 3600.0):
            if not desk.wait_until(t_s - BEGINS_S):
                break
            if sent is None:
                for line in desk.typed():
                    _command(sitting, hand, t_s, line, desk)
                while hand.seen and hand.seen[0][0] <= t_s:
                    desk.say(hand.seen.pop(0)[1])
            path = (
                lift.path if hand.flown is None or t_s < hand.flown.release_s else hand.flown.path
            )
            for raw in stream.at(t_s, path):
                {TRACKER: ports.tracker, CAR: ports.car}[raw.feed].send(raw.data)
            while said and said[0].after_launch_s <= t_s:
                desk.say(said.pop(0).words)
            if (shown := stream.shown(t_s, path)) is not None:
                desk.say(f"In the picture: {shown}")
            if t_s >= path.end_s:
                break
    return sent if sent is not None else _sent(hand)


def _command(sitting: Sitting, hand: _Hand, t_s: float, line: str, desk: Desk) -> None:
    """Send the release that a line tells, and say whether the pin followed."""
    word, _, name = line.strip().partition(" ")
    if word.lower() not in ("r", "release") or t_s < 0.0:
        if word:
            desk.say("Type r to send the release for home, or r and a field.")
        return
    field = named_field(sitting, name)
    if field is None:
        desk.say(NO_FIELD + ", ".join(one.name for one in sitting.planned.sortie.fields) + ".")
        return
    if hand.flown is not None:
        desk.say("It is released already.")
        return
    changes = sitting.truth.changes
    hand.field, at_s = field, t_s + changes.command_late_s
    hand.sent_s = t_s if hand.sent_s is None else hand.sent_s
    hand.tries_s.append(at_s)
    desk.say("Sent.")
    if len(hand.tries_s) <= changes.n_sticks:
        hand.seen.append((at_s, "Not released."))
        return
    hand.flown = let_go(sitting.truth, sitting.lift, at_s, field)
    name = sitting.planned.sortie.fields[field].name
    hand.seen.append((at_s, f"Released, for {name}."))


def named_field(sitting: Sitting, name: str) -> int | None:
    """Return the field whose name begins so, home where nothing is said; None: none or several."""
    wanted = name.strip().lower()
    if not wanted:
        return HOME
    names = [one.name.lower() for one in sitting.planned.sortie.fields]
    found = [k for k, one in enumerate(names) if one.startswith(wanted)]
    return found[0] if len(found) == 1 else None


def _sent(hand: _Hand) -> Sent:
    free_s = hand.tries_s[-1] if hand.flown is not None else None
    return Sent(hand.sent_s, hand.field, tuple(hand.tries_s), free_s)
