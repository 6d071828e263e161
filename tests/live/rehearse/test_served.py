"""Served: heard over real ports by the feeds of a ride, its release sent by hand."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from farglide.chances.ensemble import Ensemble
from farglide.live.feeds.inbox import Inbox
from farglide.live.feeds.reader import Clocks, FeedReader
from farglide.live.rehearse.crew import ByRule
from farglide.live.rehearse.flown import let_go
from farglide.live.rehearse.rehearsal import Named, Sent, finished, sent_by, way_of
from farglide.live.rehearse.sent import BEGINS_S
from farglide.live.rehearse.served import (
    BURST,
    DOWN,
    HOW,
    LAUNCHED,
    NO_FIELD,
    SEES_S,
    SEND,
    TUMBLES,
    Desk,
    Ports,
    Served,
    named_field,
    served,
)
from farglide.live.rehearse.sitting import Sitting
from farglide.live.rehearse.truth import Truth
from farglide.outlook.rehearsal import What
from farglide.sortie.feeds import FeedSpec, where_of
from farglide.track.codecs.nmea import NmeaCodec
from farglide.track.reports import Fix

from ..feeds.ways import until
from .conftest import Blind

Make = Callable[..., Truth]
_NOW = Clocks(lambda: 0.0, lambda: 1.8e9)


class Person:
    """Who types some lines at moments after the launch, and reads what is said."""

    def __init__(self, lines: dict[float, str], until_s: float = 1e9) -> None:
        self.lines, self.until_s, self.now_s = dict(lines), until_s, 0.0
        self.said: list[str] = []

    @property
    def told(self) -> list[str]:
        """Return what it is told beside what everybody is."""
        return [one for one in self.said if one not in (LAUNCHED, DOWN)]

    @property
    def desk(self) -> Desk:
        return Desk(self._wait, self._typed, self.said.append)

    def _wait(self, rehearsed_s: float) -> bool:
        self.now_s = rehearsed_s + BEGINS_S
        return self.now_s < self.until_s

    def _typed(self) -> list[str]:
        due = [t_s for t_s in self.lines if t_s <= self.now_s]
        return [self.lines.pop(t_s) for t_s in due]


def nothing(ports: Ports) -> None:
    assert ports.tracker.number != ports.car.number


def test_a_feed_hears_the_tracker_over_its_port(sitting: Sitting) -> None:
    inbox, found, readers = Inbox(["tracker"]), list[Fix](), list[FeedReader]()
    person = Person({}, until_s=240.0)

    def begun(ports: Ports) -> None:
        where = where_of(ports.tracker.where)
        reader = FeedReader(FeedSpec(name="tracker", where=where, format="nmea"), inbox, _NOW)
        reader.start()
        readers.append(reader)
        assert until(lambda: ports.tracker.n_listeners == 1)

    served(sitting, 1, person.desk, begun, None)
    codec = NmeaCodec(readers[0].spec)
    assert until(lambda: inbox.held_bytes("tracker") > 10_000)
    for raw in inbox.take(0.0):
        found += [one for one in codec.take(raw) if isinstance(one, Fix)]
    readers[0].stop()
    heights = [one.height_m or 0.0 for one in found]
    assert len(found) > 100
    assert heights[0] == pytest.approx(240.0, abs=25.0)
    assert heights[-1] == pytest.approx(sitting.lift.path.at(236.0).amsl_m, abs=60.0)


def test_a_release_by_hand_is_flown(sitting: Sitting) -> None:
    person = Person({-30.0: "r", 4300.0: "hello", 4400.0: "r corr", 4500.0: "r"})
    sent = served(sitting, 1, person.desk, nothing, None).sent
    fields = [one.name for one in sitting.planned.sortie.fields]
    assert sent == Sent(4400.0, fields.index("Corrand strip"), (4400.0,), 4400.0)
    assert person.told[:2] == [HOW, HOW]
    assert person.told[-4:] == [
        "Sent.", "Released, for Corrand strip.", "Sent.", "Turned, for Harrowend strip.",
    ]  # fmt: skip


def test_launch_and_landing_are_told_with_what_to_do_in_the_ride(sitting: Sitting) -> None:
    person = Person({4400.0: "r"})
    served(sitting, 1, person.desk, nothing, None)
    assert person.said[0] == LAUNCHED
    assert person.said[-1] == DOWN


def test_a_pin_that_sticks_wants_a_second_try(planned: object, truth: Callable[..., object],
                                              sitting: Sitting) -> None:  # fmt: skip
    made = truth(planned, "pin-sticks", "late-command")
    person = Person({4400.0: "release", 4440.0: "r"})
    sent = served(Blind(sitting.planned, made, 1), 1, person.desk, nothing, None).sent  # type: ignore[arg-type]
    assert sent == Sent(4400.0, 0, (4430.0, 4470.0), 4470.0)
    assert person.told == ["Sent.", "Not released.", "Sent.", "Released, for Harrowend strip."]


def test_a_field_is_known_by_how_it_begins(sitting: Sitting) -> None:
    fields = [one.name for one in sitting.planned.sortie.fields]
    assert named_field(sitting, "") == 0
    assert named_field(sitting, " TAN") == fields.index("Tansy Lea")
    assert named_field(sitting, "x") is None
    person = Person({4400.0: "r x"}, until_s=4500.0)
    served(sitting, 1, person.desk, nothing, None)
    assert person.told == [f"{NO_FIELD}{', '.join(fields)}."]


def test_nobody_lets_go(sitting: Sitting) -> None:
    found = served(sitting, 1, Person({}, until_s=600.0).desk, nothing, None)
    assert (found.sent.sent_s, found.sent.free_s) == (None, None)
    assert found.way.flown.path is sitting.lift.path


def test_a_scripted_crew_is_served_as_it_decided(sitting: Sitting) -> None:
    crew = ByRule("low", 9000.0, 1e9)
    sent = sent_by(sitting, crew)
    scripted = Served(sent, way_of(sitting, crew, sent, 1))
    ends = Person({10.0: "r"})
    assert served(sitting, 1, ends.desk, nothing, scripted) == scripted
    assert ends.lines == {10.0: "r"}  # nobody asks what is typed
    assert ends.now_s > (sent.free_s or 0.0) + 600.0


def test_what_the_crew_sees_is_said_in_time(planned: Ensemble, truth: Make) -> None:
    person = Person({}, until_s=1500.0)
    sitting = Blind(planned, truth(planned, "frost", "comma-digits"), 1)
    served(sitting, 1, person.desk, nothing, None)
    seen = [one for one in person.told if one.startswith("The picture")]
    assert [one.split(".")[0] for one in seen] == [
        "The picture is white", "The picture is back: first the middle, then the rim",
    ]  # fmt: skip
    shown = [one for one in person.told if one.startswith("In the picture: ")]
    assert len(shown) == 5  # at T+20 to T+24
    assert "-" not in shown[0]
    assert "," in shown[0]


def test_after_the_release_a_person_turns_to_another_field(sitting: Sitting) -> None:
    names = [one.name for one in sitting.planned.sortie.fields]
    person = Person({4300.0: "turn tansy", 4400.0: "r", 4410.0: "turn corr", 4900.0: "turn corr",
                     5000.0: "r brack", 5100.0: "turn x"})  # fmt: skip
    found = served(sitting, 1, person.desk, nothing, None)
    corrand, brackmoor = names.index("Corrand strip"), names.index("Brackmoor")
    assert [one.field for one in found.way.turns] == [corrand, brackmoor]
    level_s = let_go(sitting.truth, sitting.lift, 4400.0, 0).glide.t_s[0]
    assert level_s < found.way.turns[0].t_s < level_s + 5.0
    assert found.way.turns[1].t_s == 5000.0
    assert person.told == [
        f"It is not released yet. {HOW}", "Sent.", "Released, for Harrowend strip.",
        "Sent. It turns once it is level.", "Turned, for Corrand strip.",
        "It flies for Corrand strip already.", "Sent.", "Turned, for Brackmoor.",
        f"{NO_FIELD}{', '.join(names)}.",
    ]  # fmt: skip
    told = finished(sitting, "you", found.sent, Named((), 1), found.way).told
    assert told.field == "Brackmoor"
    assert (told.landing.field, told.landing.n_turns) == ("Brackmoor", 2)
    assert told.landing.is_on_field
    turned = [(one.after_launch_s, one.field) for one in told.happened if one.what is What.TURNED]
    assert [name for _, name in turned] == ["Corrand strip", "Brackmoor"]


def test_what_is_down_or_dead_does_not_turn(planned: Ensemble, truth: Make) -> None:
    made = truth(planned, "late-command")
    sitting = Blind(planned, replace(made, dead_s=5000.0), 1)
    person = Person({4400.0: "r", 4980.0: "turn tansy"}, until_s=5100.0)
    served(sitting, 1, person.desk, nothing, None)  # heard 30 s later: after the packs have ended
    assert person.told[-1] == "Nothing turns it any more."


def test_a_burst_is_told_once_it_can_be_seen(planned: Ensemble, truth: Make) -> None:
    sitting = Blind(planned, replace(truth(planned, "burst-tied-on"), comes_free=True), 1)
    burst_s, when = sitting.lift.burst_s, list[float]()
    person = Person({burst_s + 20.0: "r"}, until_s=burst_s + 60.0)

    def say(words: str) -> None:
        when.append(person.now_s)
        person.said.append(words)

    served(sitting, 1, person.desk._replace(say=say), nothing, None)
    assert person.told == [f"{BURST} {SEND}", "Sent.", "Released, for Harrowend strip."]
    assert SEES_S <= when[person.said.index(f"{BURST} {SEND}")] - burst_s < SEES_S + 2.0


def test_no_burst_is_told_of_what_was_let_go_before(sitting: Sitting) -> None:
    person = Person({4400.0: "r"})
    served(sitting, 1, person.desk, nothing, None)
    assert person.told == ["Sent.", "Released, for Harrowend strip."]


def test_what_a_crew_of_ours_does_is_told_too(sitting: Sitting) -> None:
    crew = ByRule("low", 9000.0, 1e9)
    sent = sent_by(sitting, crew)
    scripted = Served(sent, way_of(sitting, crew, sent, 1))
    person = Person({}, until_s=(sent.free_s or 0.0) + 10.0)
    served(sitting, 1, person.desk, nothing, scripted)
    name = sitting.planned.sortie.fields[sent.field].name
    assert person.told == ["The crew sends the release.", f"Released, for {name}."]


def test_a_pin_that_frees_nothing_is_told_as_it_is_seen(planned: Ensemble, truth: Make) -> None:
    made = replace(truth(planned, "burst-tied-on"), comes_free=False)
    sitting = Blind(planned, made, 1)
    at_s = sitting.lift.burst_s + 60.0
    person = Person({at_s: "r"}, until_s=at_s + 30.0)
    served(sitting, 1, person.desk, nothing, None)
    assert person.told == [f"{BURST} {SEND}", "Sent.", TUMBLES]


def test_what_falls_with_its_remains_does_not_turn(planned: Ensemble, truth: Make) -> None:
    made = replace(truth(planned, "burst-tied-on"), comes_free=False)
    sitting = Blind(planned, made, 1)
    at_s = sitting.lift.burst_s + 60.0
    person = Person({at_s: "r", at_s + 60.0: "turn tansy"}, until_s=at_s + 90.0)
    served(sitting, 1, person.desk, nothing, None)
    assert person.told[-1] == "It hangs on what is left of the balloon: it does not turn."
