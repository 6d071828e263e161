"""Changed: what is otherwise than an advice before had it, in one clause."""

from collections.abc import Iterator
from typing import Final

from farglide.live.ride.told import Summary
from farglide.outlook.after import Stage
from farglide.present.say.text import FlightClock
from farglide.sortie.words import chance_words, km_text

_LATER_S: Final = 60.0
_HIGHER_M: Final = 300.0
_LIKELIER_RATIO: Final = 0.1
"""Less than so much is not worth a word; common practice, no source."""
_LIFTS_KG: Final = 0.1
_ORDERS: Final = {
    "": "the release was not sent",
    "release sent": "the release is sent: watch for it",
    "release stuck": "the release is stuck: send it again",
}
_STATES: Final = ("shut", "doubtful", "open")
_STAGES: Final = {
    Stage.CARRIED: "carried by the balloon after all",
    Stage.DROPPED: "off the balloon",
    Stage.GLIDING: "gliding",
    Stage.TIED_ON: "falling, all still tied on",
    Stage.UNSTEERED: "not steered",
    Stage.DOWN: "down",
}


def change_words(before: Summary, now: Summary, clock: FlightClock) -> str:
    """Return the gravest change in one clause; empty where nothing worth a word changed.

    What became worse comes before what became better.
    """
    return next(_changes(before, now, clock), "")


def _changes(before: Summary, now: Summary, clock: FlightClock) -> Iterator[str]:
    if before.stage != now.stage:
        yield f"it is {_STAGES[Stage(now.stage)]}"
    yield from _order(before, now)
    yield from _fields(before, now, worse=True)
    yield from _launch(before, now)
    if now.stage != Stage.CARRIED.value:
        yield from _steered(before, now)
        yield from _fields(before, now, worse=False)
        return
    yield from _fill(before, now)
    if before.to_field and not now.to_field:
        yield "no release height is good any more"
        return
    if now.to_field and not before.to_field:
        yield f"a release for {now.to_field} is good again"
        return
    if not now.to_field:
        yield from _fields(before, now, worse=False)
        return
    if before.to_field != now.to_field:
        yield f"the release is for {now.to_field} now, not for {before.to_field}"
    yield from _window(before, now, clock)
    yield from _fields(before, now, worse=False)


def _steered(before: Summary, now: Summary) -> Iterator[str]:
    """Yield what is otherwise about the field to steer for."""
    if before.to_field and not now.to_field:
        yield "no field is in reach any more"
    elif now.to_field and before.to_field and before.to_field != now.to_field:
        yield f"steer for {now.to_field} now, not for {before.to_field}"
    elif now.to_field and not before.to_field:
        yield f"{now.to_field} is in reach again"


def _fields(before: Summary, now: Summary, *, worse: bool) -> Iterator[str]:
    for name, state in now.fields.items():
        was = before.fields.get(name)
        if was is not None and (
            _STATES.index(state) < _STATES.index(was) if worse
            else _STATES.index(state) > _STATES.index(was)
        ):  # fmt: skip
            yield f"{name} is {state} now"
    for name in before.fields:
        if worse and name not in now.fields:
            yield f"{name} is refused"


def _order(before: Summary, now: Summary) -> Iterator[str]:
    """Yield what became of the order to release; that it is let go is told by its stage."""
    if before.order != now.order and {before.order, now.order} <= _ORDERS.keys():
        yield _ORDERS[now.order]


def _launch(before: Summary, now: Summary) -> Iterator[str]:
    """Yield how much later the launch was than it was taken to be."""
    later_s = now.launch_t_s - before.launch_t_s
    if before.launch_t_s and abs(later_s) >= _LATER_S:
        side = "later" if later_s > 0.0 else "earlier"
        yield f"the launch was {abs(later_s) / 60.0:.0f} min {side}: all times move with it"


def _fill(before: Summary, now: Summary) -> Iterator[str]:
    """Yield what the balloon lifts, where that is otherwise, and what it does to the burst."""
    was_kg, now_kg = before.neck_lift_kg, now.neck_lift_kg
    if was_kg is None or now_kg is None or abs(now_kg - was_kg) < _LIFTS_KG:
        return
    words = f"neck lift {now_kg:.2f} kg, was {was_kg:.2f}"
    was_m, now_m = before.burst_amsl_m, now.burst_amsl_m
    if was_m is not None and now_m is not None and abs(now_m - was_m) >= _HIGHER_M:
        side = "higher" if now_m > was_m else "lower"
        words += f": the burst is {km_text(abs(now_m - was_m))} km {side}"
    yield words


def _window(before: Summary, now: Summary, clock: FlightClock) -> Iterator[str]:
    later_s = now.release_by_t_s - before.release_by_t_s
    if abs(later_s) >= _LATER_S:
        by = clock.local(now.release_by_t_s - clock.launch_t_s)
        side = "later" if later_s > 0.0 else "earlier"
        yield f"release by {by}, {abs(later_s) / 60.0:.0f} min {side}"
    for word, was_m, now_m in (
        ("begins", before.from_amsl_m, now.from_amsl_m),
        ("ends", before.to_amsl_m, now.to_amsl_m),
    ):
        if was_m is not None and now_m is not None and abs(now_m - was_m) >= _HIGHER_M:
            side = "higher" if now_m > was_m else "lower"
            yield f"the window {word} {km_text(abs(now_m - was_m))} km {side}"
    if abs(now.chance_ratio - before.chance_ratio) >= _LIKELIER_RATIO:
        words = (chance_words(one.chance_ratio) for one in (now, before))
        yield "the chance is {}, was {}".format(*words)
