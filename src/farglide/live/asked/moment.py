"""Moment: what any flight in the air is asked of, carried or not: when, where, what was told."""

from abc import ABC, abstractmethod
from dataclasses import dataclass, field

from farglide.atlas.terrain import Terrain
from farglide.earth.state import Place
from farglide.outlook.advice import Advice
from farglide.sortie.roads import Road
from farglide.sortie.spec import Launch, Sortie


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What was told beside the flight: None where nobody did."""

    car: Place | None = None  # where it is
    written: Sortie | None = None  # as the flight file has it, its launch and fields too
    roads: tuple[Road, ...] = ()  # closed or longer, as the crew typed
    grade: int | None = None  # of the picture that is seen, 5 to 0
    fault: str | None = None  # which card is wanted


@dataclass(frozen=True, kw_only=True)
class AtMoment(ABC):
    """A flight in the air at one moment, and what was told beside it."""

    advice: Advice
    terrain: Terrain | None = None
    told: Told = field(default_factory=Told)

    @property
    @abstractmethod
    def sortie(self) -> Sortie:
        """Return what was written, fields left out on which nobody may land."""

    @property
    def launch(self) -> Launch:
        """Return the launch as it was."""
        return self.sortie.launch

    @property
    def now_s(self) -> float:
        """Return when it is, after the launch."""
        return self.advice.after_launch_s

    @property
    def now_t_s(self) -> float:
        """Return when it is, UTC."""
        return self.launch.t_s + self.now_s

    @property
    def place(self) -> Place:
        """Return where it is taken to be."""
        now = self.advice.place
        return Place(lat_deg=now.lat_deg, lon_deg=now.lon_deg, amsl_m=now.amsl_m)
