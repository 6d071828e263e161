"""Field: one quantity on one level at one time, as its header tells it."""

from dataclasses import dataclass
from typing import Literal, NamedTuple

from farglide.sources.grids.layout import Layout

LevelKind = Literal["pressure", "model", "surface"]


class Moment(NamedTuple):
    """A member, and when its air is valid."""

    member: str
    valid_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """What a field is of, and where its values are.

    `quantity` is one of `gph_m`, `t_k`, `u_mps`, `v_mps`, `rh_ratio`, `q_ratio`, and of the ground
    `log_p_pa` and `p_pa`; empty where it is of no use here. `factor` brings the values to it.
    """

    quantity: str = ""
    factor: float = 1.0
    kind: LevelKind = "pressure"
    level: float = 0.0  # pascals, or the number of a model level from the top
    valid_s: float = 0.0
    run_s: float = 0.0
    member: str = "control"
    centre: int = -1
    layout: Layout | None = None
    coefficients: tuple[float, ...] = ()  # of the half levels of a model, first all a, then all b
    packing: str = "simple"  # how its values are written
    message: int = 0  # in the file, from 0
    place: int = 0  # among the fields of its message, from 0
    path: str = ""
    where: object = None  # in the file, where its format has no messages

    @property
    def moment(self) -> Moment:
        """Return member and valid time."""
        return Moment(self.member, self.valid_s)
