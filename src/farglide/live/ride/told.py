"""Told: what the last advice said, as far as the next one depends on it: read out of the log."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import isfinite, nan
from types import MappingProxyType
from typing import Any

from farglide.outlook.advice import Advice, Level, ReleaseAdvice
from farglide.outlook.after import Stage
from farglide.outlook.fields import State
from farglide.track.journal.frame import Record
from farglide.track.journal.payload import document_of, payload_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """What a crew would remember of an advice."""

    fields: Mapping[str, State] = field(default_factory=lambda: MappingProxyType({}))
    stage: str = Stage.CARRIED.value
    to_field: str = ""  # released for, or steered for
    from_amsl_m: float | None = None  # None: it is in the window, which then begins where it is
    to_amsl_m: float = 0.0
    release_by_t_s: float = 0.0  # UTC
    chance_ratio: float = 0.0
    neck_lift_kg: float | None = None  # by the climb so far
    order: str = ""  # the phase, once a release was sent
    launch_t_s: float = 0.0  # UTC
    burst_amsl_m: float | None = None  # where half have burst; None: so many never do


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What was shown, since when something better waits to be shown, and what changed last.

    Times are monotonic. `since_s`: by the name of a field, "" for the level; `before`: what
    the next change is told against.
    """

    at_s: float | None = None
    level: Level | None = None
    fields: Mapping[str, State] = field(default_factory=lambda: MappingProxyType({}))
    stage: str = Stage.CARRIED.value
    to_field: str = ""  # released for, or steered for
    shut_by: tuple[str, ...] = ()  # the stories by which fields shut while nobody steers
    since_s: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    before: Summary | None = None
    changed: str = ""
    changed_s: float = 0.0


def summary_of(advice: Advice, launch_t_s: float) -> Summary:
    """Return what a crew would remember of an advice."""
    fields = MappingProxyType({one.name: one.state for one in advice.fields})
    release: ReleaseAdvice | None = advice.release
    if advice.after is not None:
        steer = advice.after.steer
        return Summary(
            fields=fields,
            stage=advice.stage.value,
            to_field="" if steer is None else steer.field,
            chance_ratio=0.0 if steer is None else steer.chance_ratio,
        )
    fill, burst_m = advice.fill, nan if advice.burst is None else advice.burst.amsl_m.p50
    lifted = Summary(
        fields=fields,
        neck_lift_kg=None if fill is None else fill.neck_lift_kg.p50,
        burst_amsl_m=burst_m if isfinite(burst_m) else None,
    )
    if release is None:
        return lifted
    is_inside = advice.after_launch_s >= release.from_after_launch_s
    return replace(
        lifted,
        to_field=release.field,
        from_amsl_m=None if is_inside else release.from_amsl_m,
        to_amsl_m=release.to_amsl_m,
        release_by_t_s=launch_t_s + release.release_by_after_launch_s,
        chance_ratio=release.chance_ratio,
    )


def advice_payload(advice: Advice, told: Told) -> bytes:
    """Return an advice as its document, with what the next one depends on beside it."""
    before = None
    if told.before is not None:
        before = {**_plain(told.before), "fields": dict(told.before.fields)}
    return payload_of(
        {
            "advice": advice.document(),
            "since_s": dict(told.since_s),
            "before": before,
            "changed_s": told.changed_s,
        }
    )


def told_of(record: Record) -> Told:
    """Return what an advice said, out of its record. Raises ValueError where it holds none."""
    document: dict[str, Any] = document_of(record)
    try:
        advice, before = document["advice"], document["before"]
        return Told(
            at_s=record.monotonic_s,
            level=Level(advice["level"]),
            fields=MappingProxyType({one["name"]: one["state"] for one in advice["fields"]}),
            stage=advice.get("stage", Stage.CARRIED.value),  # logs of older versions have none
            to_field=_to_field(advice),
            shut_by=_shut_by(advice),
            since_s=MappingProxyType(document["since_s"]),
            before=None if before is None else Summary(**before),
            changed=advice["changed"],
            changed_s=document["changed_s"],
        )
    except (KeyError, TypeError) as error:
        raise ValueError(f"holds no advice: {error}") from None


def _to_field(advice: Mapping[str, Any]) -> str:
    """Return the field that an advice's document names: to steer for, else to release for."""
    after, release = advice.get("after"), advice["release"]
    if after is not None:
        return "" if after["steer"] is None else str(after["steer"]["field"])
    return "" if release is None else str(release["field"])


def _shut_by(advice: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the stories by which an advice's document has its fields shut."""
    told = {one.get("shuts_story") for one in advice["fields"]}
    return tuple(sorted(one for one in told if one is not None))


def _plain(summary: Summary) -> dict[str, Any]:
    return {name: getattr(summary, name) for name in Summary.__slots__}
