"""Asked of the car: stands, pictures and what a bad one is due to, as values."""

from dataclasses import dataclass

from farglide.outlook.document import Documented


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """A link of a purpose from a stand: what it has in hand now, and how surely."""

    purpose: str
    margin_db: float
    sd_db: float
    holds_ratio: float  # now
    grade: int | None  # of a picture, 5 to 0


@dataclass(frozen=True, slots=True, kw_only=True)
class StandNow:
    """One stand: how far it is, what it hears of the balloon now and over the field.

    `holds_ratio`: for each field the chance of all links from the release to it, from there alone;
    empty where nothing is advised. `is_in_time`: set up before the release is due.
    """

    name: str
    drive_s: float  # infinite: the road is closed
    ready_after_launch_s: float
    set_off_after_launch_s: float | None  # latest for the window; None: nothing is advised
    azimuth_deg: float
    elevation_deg: float
    range_m: float
    overhead_deg: float  # how high it stands at the release
    links: tuple[Heard, ...]
    lost_agl_m: float | None  # over the field advised; None: never a picture there
    holds_ratio: tuple[tuple[str, float], ...]
    is_in_time: bool
    nose_deg: float | None = None

    def holds(self, field: str) -> float | None:
        """Return the chance for one field; None where it is not known."""
        return dict(self.holds_ratio).get(field)


@dataclass(frozen=True, slots=True, kw_only=True)
class ParkNow(Documented):
    """The stands, best first, with the car where it is."""

    after_launch_s: float
    field: str
    from_after_launch_s: float | None  # of the release advised
    car: str  # what is known of where it is
    set_up_s: float
    stands: tuple[StandNow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Later:
    """Where the balloon is so much later if nothing is sent."""

    seconds: float
    lat_deg: float
    lon_deg: float
    amsl_m: float
    burst_ratio: float  # by then, of the balloons whole now


@dataclass(frozen=True, slots=True, kw_only=True)
class LostNow(Documented):
    """What to do without a picture while the balloon still carries the glider."""

    after_launch_s: float
    field: str
    release_by_after_launch_s: float | None
    fix_until_after_launch_s: float | None  # then the release is sent unseen, and repeated
    chance_ratio: float | None  # of the release advised
    stand: StandNow | None  # of the car, else the one that hears best
    later: tuple[Later, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureNow(Documented):
    """Which picture there should be now, and how low over the field it lasts."""

    after_launch_s: float
    field: str
    stands: tuple[StandNow, ...]  # that of the car first, else the one that hears best


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseShare:
    """One cause of a bad picture, and its chance by what is seen."""

    cause: str
    chance_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeFound:
    """What a grade that is seen says: what is missing, why, and what would tell the causes apart.

    `reach_m`: of the link, if so much stays lost.
    """

    stand: str
    elevation_deg: float
    expected_db: float
    expected_grade: int
    seen_grade: int
    least_db: float
    most_db: float | None  # None: no upper end
    reach_m: float
    causes: tuple[CauseShare, ...]  # the likeliest first
    test_of: str  # the cause whose test separates most
