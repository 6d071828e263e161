"""Told: what an advice says is read back out of its record as it was."""

from dataclasses import replace

import pytest
from tests.live.advice import ADVICE

from farglide.live.ride.told import Summary, Told, advice_payload, summary_of, told_of
from farglide.outlook.advice import Level
from farglide.track.journal.frame import Kind, Record

LAUNCH_T_S = 1_800_000_000.0


def record(payload: bytes) -> Record:
    return Record(kind=Kind.ADVICE, number=9, monotonic_s=12.5, utc_s=LAUNCH_T_S, payload=payload)


def test_a_summary_is_what_a_crew_would_remember() -> None:
    found = summary_of(ADVICE, LAUNCH_T_S)
    assert found.fields == {"Home strip": "shut", "Far meadow": "open"}
    assert (found.to_field, found.from_amsl_m) == ("Home strip", 23_200.0)
    assert found.release_by_t_s == LAUNCH_T_S + 4660.0
    assert summary_of(replace(ADVICE, after_launch_s=4200.0), LAUNCH_T_S).from_amsl_m is None
    assert (found.neck_lift_kg, found.burst_amsl_m) == (1.61, 30e3)
    never = replace(ADVICE.burst, amsl_m=replace(ADVICE.burst.amsl_m, p50=float("nan")))
    bare = replace(ADVICE, release=None, fill=None, burst=never)
    assert summary_of(bare, LAUNCH_T_S) == Summary(fields=found.fields)


def test_what_was_told_comes_back_out_of_the_log() -> None:
    before = replace(summary_of(ADVICE, LAUNCH_T_S), chance_ratio=0.1 + 0.2)
    telling = Told(since_s={"": 3.25, "Home strip": 0.1}, before=before, changed_s=1.0 / 3.0)
    found = told_of(record(advice_payload(replace(ADVICE, changed="x is shut"), telling)))
    assert found == Told(
        at_s=12.5, level=Level.WATCH, fields={"Home strip": "shut", "Far meadow": "open"},
        to_field="Home strip", since_s=telling.since_s, before=before,
        changed="x is shut", changed_s=1.0 / 3.0,
    )  # fmt: skip


def test_by_which_stories_fields_shut_comes_back() -> None:
    fields = tuple(replace(one, shuts_story="spiral") for one in ADVICE.fields)
    again = told_of(record(advice_payload(replace(ADVICE, fields=fields), Told())))
    assert again.shut_by == ("spiral",)


def test_without_anything_before() -> None:
    assert told_of(record(advice_payload(ADVICE, Told()))).before is None


@pytest.mark.parametrize("payload", [b"{}", b'{"advice":{},"before":null}', b'{"advice":1}'])
def test_what_holds_no_advice_is_refused(payload: bytes) -> None:
    with pytest.raises(ValueError, match="holds no advice"):
        told_of(record(payload))
