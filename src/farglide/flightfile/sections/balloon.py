"""Balloon section: the latex balloon and its fill, and the line that hangs between it and glider.

Ranges are wide: they catch slips of unit and sign, not unusual gear. Defaults marked typical are
common practice, no source, unless a comment names one; guesses are stand-ins.
"""

from collections.abc import Iterator
from typing import Final

from farglide.errors import Problem
from farglide.flightfile.entries import Entry, Section
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import (
    Doubt,
    Quantity,
    choice,
    guess,
    needed,
    shares,
    stand_in,
    typical,
)  # fmt: skip
from farglide.flightfile.reading.lists import PairTable
from farglide.flightfile.reading.reader import Reader
from farglide.flightfile.standins import DRAG_TABLE, burst_diameter_m
from farglide.sortie.gear import BalloonSpec
from farglide.sortie.known import Known, Tag

COUNTS: Final = {
    "n_flights": "balloons of this kind flown so far and followed, early bursts among them; they "
    "settle ``early_burst``, whose own share counts as 30 flights",
    "n_early_bursts": "how many of them burst below nine tenths of their bursting diameter",
}
LEAST_CLIMB_M: Final = 1000.0
"""No burst is asked for lower above the launch."""
_WARMER: Final = Doubt(measured=3.0, typical=6.0, guess=6.0, absolute=True)
_DRAG_TABLE: Final = PairTable(
    key="drag_table",
    n_rows=(1, 1_000_000),
    shape="a list of pairs",
    example="Write drag_table = [[100000, 0.68], [500000, 0.32]], Reynolds number and C_d.",
    first=(1.0, 1.0e8),
    second=(0.05, 2.0),
    allowed="Reynolds number 1 to 1e8, C_d 0.05 to 2",
    unsorted="Reynolds numbers",
    sort="Sort the rows.",
)

_BALLOON_ROWS: Final = (
    needed("mass", unit.MASS, (0.01, 6.0), "the balloon weighs"),
    Quantity("burst_diameter", unit.LENGTH, (0.3, 25.0), "it bursts at a diameter of",
             doubt=shares(0.06, 0.10, 0.15),
             settle="take the bursting diameter from the balloon's own sheet"),
    guess("early_burst", unit.RATIO, (0.0, 0.5),
          "of such balloons a share bursts early, below nine tenths of that diameter:", 0.03,
          doubt=shares(1.0, 1.0, 1.0),
          settle="count your own flights (n_flights, n_early_bursts)"),
    choice("seen_to", unit.RATIO, (0.05, 1.0),
           "in your record the others were seen whole up to a share of that diameter of", 0.9),
    typical("purity", unit.RATIO, (0.5, 1.0), "the share of gas in the filling is", 0.99),
    Quantity("neck_lift", unit.MASS, (0.02, 15.0), "the filled balloon carries at its neck",
             doubt=shares(0.015, 0.05, 0.15),
             settle="hang a known weight on the neck: the fill is right when it just floats"),
    Quantity("mean_ascent", unit.SPEED, (1.0, 12.0), "the mean climb speed wanted is",
             settle="decide it, or fill until a known weight at the neck just floats (neck_lift)"),
    Quantity("burst_height_amsl", unit.HEIGHT, (2000.0, 45_000.0), "the burst height wanted is"),
    Quantity("drag_coefficient", unit.PURE, (0.05, 2.0),
             "its drag coefficient, the whole climb through, is"),
    guess("drag_factor", unit.PURE, (0.3, 3.0), "the drag curve is multiplied by", 1.0,
          doubt=shares(0.05, 0.15, 0.15),
          settle="fit it to the climb of an earlier flight with this kind of balloon"),
    guess("gas_warmer", unit.WARMTH, (-20.0, 50.0), "the gas is warmer than the air by", 8.0,
          doubt=_WARMER, settle="0 K after sunset, 5 to 25 K in sun: fit it to an earlier climb"),
    typical("film_stiffness", unit.STIFFNESS, (0.0, 500.0),
            "the stretched film presses on the gas with a stiffness of", 0.0),
    typical("leak", unit.LEAK, (0.0, 0.01),
            "the share of gas that leaks away at sea-level density is", 0.0),
)  # fmt: skip
_TRAIN_ROWS: Final = (
    guess("line", unit.MASS, (0.0, 5.0),
          "line, hook and all between balloon and load weigh", 0.10,
          settle="weigh all that hangs below the neck in one go"),
    guess("remains_drag_area", unit.AREA, (0.01, 3.0),
          "burst latex, line and what is tied to it fall on a drag area C_d A of", 0.2,
          doubt=shares(0.3, 0.5, 0.5), settle="time the fall of a torn balloon with its line"),
    Quantity("canopy", unit.LENGTH, (0.1, 5.0), "a parachute on the line has a diameter of"),
    choice("canopy_drag", unit.PURE, (0.2, 2.5),
           "the parachute's drag coefficient on its nominal area is", 0.8),
)  # fmt: skip


def balloon_of(one: Entry, hanging_kg: float) -> BalloonSpec:
    """Return a balloon found without problems.

    Where the neck lift is not stated, what hangs and half the balloon is a place to start.
    """
    start = Known(value=hanging_kg + 0.5 * one.value("mass_kg"), tag=Tag.GUESS)
    neck_lift_kg = one.known_if_given("neck_lift_kg") or start
    return one.spec(BalloonSpec, neck_lift_kg=neck_lift_kg, drag_table=_drag_table(one))


def drag_given(one: Entry) -> bool:
    """Tell whether a drag of its own is stated."""
    return one.given("drag_coefficient") or "drag_table" in one.tables


def _drag_table(one: Entry) -> tuple[tuple[float, float], ...]:
    if one.given("drag_coefficient"):
        constant = one.value("drag_coefficient")
        return (1.0e4, constant), (1.0e7, constant)
    return one.tables.get("drag_table", DRAG_TABLE)


def fill_problems(one: Entry, hanging_kg: float, launch_amsl_m: float) -> Iterator[Problem]:
    """Yield fills that do not climb, or not high, or are stated too often."""
    if all(one.given(key) for key in ("neck_lift_kg", "mean_ascent_mps", "burst_height_amsl_m")):
        names = "neck_lift, mean_ascent and burst_height_amsl"
        what = "are one too many: two of them set the third."
        yield one.problem(names, what, "Leave one out.")
    neck_kg, top_m = one.value("neck_lift_kg"), one.value("burst_height_amsl_m")
    if neck_kg <= hanging_kg:
        what = (
            f"is {one.told('neck_lift_kg')}, but {hanging_kg:.3f} kg hang below: it will not climb."
        )
        remedy = "Write more than that weight, common practice is half as much again or more."
        yield one.problem("neck_lift_kg", what, remedy)
    if top_m <= launch_amsl_m + LEAST_CLIMB_M:
        what = f"is {top_m:.0f} m, less than 1000 m above the launch at {launch_amsl_m:.0f} m."
        yield one.problem("burst_height_amsl_m", what, "Is that kilometres or feet?")


def _finish_balloon(reader: Reader, one: Entry) -> None:
    """Put in the stand-ins, refuse two statements of one drag, and count a record of bursts."""
    numbers = one.numbers
    n_early, n_flights = one.counts["n_early_bursts"], one.counts["n_flights"]
    if n_early > n_flights:
        remedy = "n_flights counts all balloons flown, those that burst early too."
        reader.refuse("n_early_bursts", f"is {n_early}, more than n_flights.", remedy)
    if n_flights:
        stand_in(numbers, "early_burst_ratio", one.value("early_burst_ratio"), Tag.TYPICAL)
    if one.value("mass_kg") > 0.0:
        diameter_m = burst_diameter_m(one.value("mass_kg"))
        stand_in(numbers, "burst_diameter_m", diameter_m, Tag.GUESS)
    constant, has_table = numbers["drag_coefficient"], "drag_table" in one.tables
    if constant.given and has_table:
        remedy = "Keep one of them."
        reader.refuse("drag_coefficient and drag_table", "say the same thing twice.", remedy)
    if (constant.given or has_table) and not numbers["drag_factor"].tagged:
        tag = Tag.TYPICAL if has_table else constant.tag
        stand_in(numbers, "drag_factor", one.value("drag_factor"), tag)


BALLOON: Final = Section(
    name="balloon",
    about="The latex balloon and its fill.",
    rows=_BALLOON_ROWS,
    texts=("batch",),
    choices={"gas": (("helium", "hydrogen"), None)},
    tables=(_DRAG_TABLE,),
    counts=tuple(COUNTS),
    finish=_finish_balloon,
    words={
        **COUNTS,
        "batch": "which batch it is of, in your words: ``farglide review`` learns from flights of "
        "one batch together; left out, from those of one mass",
        "gas": '**required.** ``"helium"`` or ``"hydrogen"``',
        "drag_table": "pairs of Reynolds number (1 to 1e8, rising) and drag coefficient (0.05 to "
        "2), in place of ``drag_coefficient``; with neither, the usual curve of rubber balloons "
        f"from {DRAG_TABLE[0][1]:g} at {DRAG_TABLE[0][0]:.0f} down to {DRAG_TABLE[-1][1]:g} "
        f"at {DRAG_TABLE[-1][0]:.0f}",
    },
)
TRAIN: Final = Section(name="train", about="What hangs between balloon and load.", rows=_TRAIN_ROWS)
