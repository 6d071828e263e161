"""The release decided on, and the ways home from it."""

from dataclasses import dataclass
from typing import Literal, NamedTuple

from farglide.outlook.ascent import Spread

Ending = Literal["burst", "top", "reach", "speeds", "packs", "light", "command", "picture"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """From which height to which the chance is within 0.02 of its best above the wanted one.

    Times are those at which half of the whole balloons have passed.
    """

    from_after_launch_s: float
    to_after_launch_s: float
    from_amsl_m: float
    to_amsl_m: float


class HeightSpan(NamedTuple):
    """From which height down to which."""

    from_amsl_m: float
    to_amsl_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DownOutlook:
    """How height is flown off over the field so that the glider stays there, without errors.

    Heights are from and to, the upper one first; None where there are none.
    """

    seconds: float
    firm_spiral: bool  # turns in the firm spiral; else in gentle circles
    farthest_m: float  # that it gets from the field
    comes_back: bool  # ends over the field, blown off or not on its way
    legs_between_amsl_m: HeightSpan | None  # legs into the wind take half the time or more
    faced_between_amsl_m: HeightSpan | None  # all of it: no circle
    beaten_between_amsl_m: HeightSpan | None  # a wind faster than it can fly


@dataclass(frozen=True, slots=True, kw_only=True)
class TimelyOutlook:
    """The flight with most height over the field of those that end before packs and light do."""

    spare_m: float
    over_field_after_launch_s: float
    down_after_launch_s: float
    down: DownOutlook


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightChance:
    """The chance of the chosen field for a release at one height."""

    amsl_m: float
    after_launch_s: float  # when half of the whole balloons have passed
    chance_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseOutlook:
    """The decision: which field, when, with what chance, and what ends the window."""

    field: str
    chance_ratio: float
    is_enough: bool  # as good as the crew asks for
    some_field_ratio: float  # chance with the field chosen at the release, whichever is open
    open_ratio: float
    by_clock_ratio: float | None  # at the best clock time alone; None where the clock leads anyway
    by_clock_after_launch_s: float | None
    window: Window
    release_by_after_launch_s: float
    release_by_amsl_m: float
    until_after_launch_s: float  # let go then at the latest, however high
    by_height: bool  # the crew sees the height and goes by it; else the clock leads
    heights: tuple[HeightChance, ...]  # every kilometre of the climb
    bound_by: Ending
    burst_ratio: float  # chance of a burst before the last order
    burst_within_120_s_ratio: float  # price of two minutes more of climb, for one still whole then
    spare_m: float
    arrival_agl_m: float  # height over the field at which it counts as reached
    over_field_after_launch_s: float  # quickest arrival at that height
    best_glide_end_after_launch_s: float  # flattest way home, then circling down at best glide
    firm_spiral_end_after_launch_s: float | None  # flattest way home, then down in a firm spiral
    must_end_after_launch_s: float  # the first of packs and light, without errors
    must_end_by: Literal["packs", "light"]
    timely: TimelyOutlook | None  # None where the flattest way itself ends in time, or none does
    straight_loss_m: float  # of way, against the best path through these winds; NaN unknown
    crew_ratio: float  # lower bound of releases and pull-outs that work, from the crew's record
    product_ratio: float  # chance_ratio x crew_ratio
    down: DownOutlook | None = (
        None  # of the flight in time, else of the flattest; None out of reach
    )


SpeedLimit = Literal["top speed", "Mach"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedRow:
    """What to fly at one height on the way to the field, and what the crew can read of it."""

    amsl_m: float
    quick_eas_mps: float
    quick_ground_mps: float
    quick_sink_mps: float
    timely_eas_mps: float | None  # None without such a flight, and where it circles
    timely_ground_mps: float | None
    timely_sink_mps: float | None
    flat_eas_mps: float | None  # None below the height where the flattest way begins to circle
    flat_ground_mps: float | None
    flat_sink_mps: float | None
    quick_held_by: SpeedLimit | None = None  # the limit, less its margin, that the way runs into
    timely_held_by: SpeedLimit | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownOutlook:
    """All draws flown from hand to ground to one order, steered straight to the field."""

    release_after_launch_s: float  # at the latest
    release_amsl_m: float | None  # at this height before that; None where the clock leads
    over_field_ratio: float  # over the field at the arrival height or more; packs not counted
    burst_before_ratio: float  # burst before the release: released after the reaction time
    over_field_amsl_m: Spread
    down_after_launch_s: Spread  # best speed home, then circles and legs into the wind
    peak_mach: float  # of all pull-outs
    missed_lat_deg: float | None  # middle of where the others came down
    missed_lon_deg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BarrierSide:
    """A barrier in the side view: from the edge first met to the far one, and what it takes."""

    barrier: str
    from_along_m: float
    to_along_m: float
    commit_amsl_m: float  # NaN: from no height


@dataclass(frozen=True, slots=True, kw_only=True)
class SideView:
    """Height against distance along the drift, for the side view."""

    axis_deg: float
    climb: tuple[tuple[float, float], ...]  # (along_m, amsl_m)
    quickest: tuple[tuple[float, float], ...]
    flattest: tuple[tuple[float, float], ...]
    timely: tuple[tuple[float, float], ...]  # empty without such a flight
    wind_along: tuple[tuple[float, float], ...]  # (amsl_m, mps along the drift axis)
    barriers: tuple[BarrierSide, ...] = ()  # on the way to the chosen field
