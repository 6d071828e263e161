"""Shown: what changed is told for a minute, and a field refused meanwhile is gone."""

from dataclasses import replace

from tests.live.advice import ADVICE

from farglide.live.ride.shown import SAID_S, shown, without
from farglide.live.ride.state import Ride
from farglide.live.ride.task import Entered
from farglide.outlook.advice import Advice
from farglide.sortie.spec import Sortie
from farglide.track.typed.entries import Mark, MarkKind


def told(ride: Ride, advice: Advice, at_s: float, sortie: Sortie) -> tuple[Ride, Advice]:
    ride, advice = shown(ride, advice, at_s, sortie)
    return replace(ride, told=ride.telling), advice


def test_an_order_is_told_for_a_minute(sortie: Sortie) -> None:
    launch_t_s = sortie.launch.t_s
    sent = tuple(
        Entered(number=k, t_s=launch_t_s + 10.0 * k, entry=Mark(kind=kind))
        for k, kind in enumerate((MarkKind.LAUNCHED, MarkKind.SENT))
    )
    ride, first = told(Ride(entries=sent[:1]), ADVICE, 100.0, sortie)
    assert first.changed == ""
    ride, second = told(replace(ride, entries=sent), ADVICE, 110.0, sortie)
    assert second.changed == "the release is sent: watch for it"
    ride, third = told(ride, ADVICE, 109.0 + SAID_S, sortie)
    assert third.changed == second.changed
    _, last = told(ride, ADVICE, 111.0 + SAID_S, sortie)
    assert last.changed == ""


def test_a_field_that_is_refused_is_gone_and_a_release_for_it() -> None:
    assert without(ADVICE, ()) is ADVICE
    assert without(ADVICE, ("Nowhere",)) is ADVICE
    assert ADVICE.release is not None
    found = without(ADVICE, (ADVICE.release.field,))
    assert found.release is None
    assert [one.name for one in found.fields] == ["Far meadow"]
    kept = without(ADVICE, ("Far meadow",))
    assert kept.release == ADVICE.release
