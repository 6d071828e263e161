"""Weaker outlook: what a link that lost decibels, or a release nobody sees, leads to, as values."""

from dataclasses import dataclass
from typing import Literal

Phase = Literal["weakest", "release", "end"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenPhase:
    """What one moment of the planned flight is like with the link so much weaker."""

    phase: Phase
    after_launch_s: float
    margin_db: float
    elevation_deg: float
    grade: int | None  # of a picture, 5 to 0; None for another link


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeSeen:
    """How many decibels are missing where a picture is worse than expected."""

    grade: int  # as seen, 4 to 0
    least_db: float
    most_db: float | None  # None: no upper end, there is no picture at all


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedPhase(SeenPhase):
    """What one moment of the planned flight should look like."""

    grade: int
    worse: tuple[GradeSeen, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedPicture:
    """What the crew should see, and how fast that changes: the base for finding a cause."""

    link: str
    stand: str  # of the car; without a release, the one that hears best
    phases: tuple[ExpectedPhase, ...]
    fastest_dbps: float  # change of the margin up to the release, once the stand is manned
    highest_deg: float  # elevation
    overhead: tuple[tuple[float, float], ...]  # (from, to) after_launch_s above 70 degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardAgain:
    """One place from which a weaker link is heard while nobody steers, and the way there.

    The chance counts where the draws fly and the doubt about the budget.
    """

    story: str
    place: str
    at: Literal["stand", "field"]
    spans: tuple[tuple[float, float], ...]  # (from, to) after_launch_s, without errors
    heard_ratio: float  # chance that it is heard from there at any moment
    drive_s: float  # from the car's stand; 0 for that stand itself
    barriers: tuple[str, ...]  # that the straight line there crosses
    set_off_after_launch_s: float | None  # latest; None where it is never heard
    contact_after_launch_s: float | None  # for a car that sets off at the release; None: too late
    in_time_ratio: float  # chance of a contact for that car


@dataclass(frozen=True, slots=True, kw_only=True)
class WeakerLink:
    """One link with so many decibels less than its budget."""

    link: str
    purpose: str
    loss_db: float
    reach_m: float
    stand: str  # of the car; without a release, the one that hears best
    seen: tuple[SeenPhase, ...]
    chance_ratio: float | None  # of the chosen field at the best moment of the release, weaker so
    chance_stand: str  # the best stand for that; empty where none is manned
    heard_again: tuple[HeardAgain, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BlindStep:
    """A release sent unseen at one moment of the climb."""

    after_launch_s: float
    margin_db: float
    arrives_ratio: float  # of one sending; the doubt is one for the flight, repeats keep it
    in_hand_s: float  # until the release-by moment


@dataclass(frozen=True, slots=True, kw_only=True)
class BlindRelease:
    """The release without a picture: whether it arrives, and what comes with and without it."""

    link: str
    stand: str
    spread_db: float  # one standard deviation of the doubt about the margin at the last step
    steps: tuple[BlindStep, ...]  # the last: the release-by moment
    doors: tuple[tuple[str, float], ...]  # (story, s): the field stays open, released then
    unsent: tuple[tuple[float, float], ...]  # (after_launch_s, share burst and tied on)
