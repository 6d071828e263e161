"""Ride view: what a running ride shows at one moment, whatever shows it."""

from dataclasses import dataclass

from farglide.outlook.advice import Advice
from farglide.outlook.freshness import Freshness


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedAge:
    """How one feed fares: when it was heard and placed last, None for never."""

    name: str
    of: str
    heard_ago_s: float | None
    placed_ago_s: float | None
    trouble: str = ""  # why it is not there, or that it loses bytes

    @property
    def data(self) -> Freshness:
        """Return how old its last position is."""
        if self.placed_ago_s is None:
            return Freshness.UNKNOWN
        return Freshness.of_age(self.placed_ago_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """Something entered or odd, and when, UTC seconds."""

    t_s: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardAt:
    """Where the balloon was heard last, and when, UTC seconds."""

    t_s: float
    lat_deg: float
    lon_deg: float
    amsl_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenLast:
    """The last position that was heard or typed, and when, UTC."""

    t_s: float
    lat_deg: float
    lon_deg: float
    amsl_m: float
    agl_m: float  # above the ground of the field, else of the launch


@dataclass(frozen=True, slots=True, kw_only=True)
class LiesAt:
    """Where it is to be looked for once it is marked as down, and how far the car has to go.

    `seen`: None where no position with its height was ever told; `is_reckoned`: the place is not
    that one, but where what was told since has it, silence included.
    """

    landed_t_s: float
    lat_deg: float
    lon_deg: float
    within_m: float  # nine in ten, what it may have flown since included
    is_reckoned: bool
    seen: SeenLast | None
    car_away_m: float | None  # straight; None: nobody told where the car is
    car_bearing_deg: float | None  # from the car, true


@dataclass(frozen=True, slots=True, kw_only=True)
class RideView:
    """What a running ride shows.

    `advice` is None before the first, and `why` says why there is none now; `advised_ago_s` how
    old it is, `tables_ago_s` how old the tables are that it was made by; `answer` says what was
    understood of the line typed last.
    """

    now_t_s: float
    launch_t_s: float
    zone: str
    phase: str
    advice: Advice | None
    why: str
    advised_ago_s: float | None
    tables_ago_s: float | None
    is_summing: bool
    feeds: tuple[FeedAge, ...]
    entries: tuple[Remark, ...]
    odd: tuple[Remark, ...]
    alarm: str
    answer: str
    card: tuple[str, ...] = ()  # that stands in place of the advice below its first lines
    is_loose: bool = False  # no whole balloon carries it
    behind_s: float = 0.0  # so old is the oldest that was heard and is not counted yet
    summing_s: float | None = None  # so long tables are being made; None: none are
    launch_off_s: float | None = None  # hours off the flight file; None: about as planned
    lies: LiesAt | None = None  # once it is marked as down
    heard: HeardAt | None = None
    card_page: int = 0
    pace: float = 1.0  # so many seconds of the flight in one: of a rehearsal
    doing: str = ""  # ahead of the first answer, beside all else
