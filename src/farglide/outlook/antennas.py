"""Antenna outlook: what antennas, place and a ground test make of a link, as plain values."""

from dataclasses import dataclass

from farglide.radio.ends.end import End, GroundTest


@dataclass(frozen=True, slots=True, kw_only=True)
class BeamOutlook:
    """How wide a beam is at half power."""

    level_deg: float
    upright_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EndOutlook:
    """One end of a link as stated, and what its antenna, its aim and its stance make of it."""

    spec: End
    name: str  # in the middle of a sentence; "antenna" where only its gain is known
    gain_dbi: float
    beam: BeamOutlook | None  # None for what is no beam
    aim_loss_db: float | None  # None for what nobody aims
    level_db: float  # as it stands against its best: at the horizon
    steep_db: float  # and straight above the ground, or straight below the glider


@dataclass(frozen=True, slots=True, kw_only=True)
class PolarisationOutlook:
    """What the polarisations of both ends lose."""

    sender: str
    receiver: str
    mean_db: float
    worst_db: float
    any_roll: bool  # how far the end that flies swings is not stated: any roll is as likely


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceNoise:
    """By how much the noise of a place raises the floor of the receiver."""

    place: str
    raise_db: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RainOutlook:
    """What rain takes at an elevation."""

    mmph: float
    at_deg: float
    loss_db: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundTestOutlook:
    """What a ground test found against the budget."""

    test: GroundTest | None  # None where only the offset is stated
    offset_db: float
    fault_db: float  # farther off than this is no result but a fault

    @property
    def is_fault(self) -> bool:
        """Tell whether the test asks for the fault instead of shifting the margins."""
        return abs(self.offset_db) > self.fault_db


@dataclass(frozen=True, slots=True, kw_only=True)
class BounceOutlook:
    """How far the wave that bounces off smooth ground swings a link low over the horizon."""

    takes_db: float
    adds_db: float
    at_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkAntennas:
    """Everything that antennas, place, rain and a ground test make of one link."""

    link: str
    ends: tuple[EndOutlook, ...]  # sender, receiver: those of which more than a gain is known
    polarisation: PolarisationOutlook | None
    noise: PlaceNoise | None
    rain: RainOutlook | None
    tested: GroundTestOutlook | None
    bounce: BounceOutlook
    doubt_db: float  # one standard deviation about the whole budget
