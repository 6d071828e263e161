"""Tables: what answers of a ride are made of, computed from one task."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from farglide.chances.advising import advisable
from farglide.chances.ensemble import Ensemble
from farglide.chances.informed import Informed
from farglide.chances.needs import narrowest_deg
from farglide.chances.onward import Advisable, Seen
from farglide.live.after.wayahead import WayAhead
from farglide.live.ride.task import Task
from farglide.outlook.advice import PictureOff
from farglide.track.filter.particles import Laws


@dataclass(frozen=True, kw_only=True)
class Tables:
    """What was computed from one task; `ends_s`: no balloon is in the air later, by them.

    `now_s`: from when on a carried flight is asked; `seen`: what its draws go on from; `plain`: the
    flight without errors in the air as it is known; `laws`: by what a loose flight is followed;
    `ahead`: the way advised, of a glider that is level.
    """

    task: Task
    known: Informed
    now_s: float
    seen: Seen
    ends_s: float
    plain: Ensemble
    laws: Laws
    picture: PictureOff | None = None
    ahead: WayAhead | None = None

    @cached_property
    def of(self) -> Advisable:
        """Return what advice is made of while a balloon carries the glider, summed when asked.

        A loose flight asks nothing of it, but where its mark turns out to be wrong.
        """
        return advisable(self.known, self.now_s)._replace(picture=self.picture)

    @property
    def drawn(self) -> Ensemble:
        """Return the draws, as the climb has made them."""
        return self.known.ensemble

    @property
    def beam_deg(self) -> float:
        """Return the narrowest beam that is aimed."""
        return narrowest_deg(self.drawn.sortie)


Made = Tables | str
"""The tables of a task, or why there can be none."""
Make = Callable[[Task], Made]
"""Gives the tables of a task, the same whenever it is asked."""
