"""A review of one flight and of two, for the tests of what people see."""

from dataclasses import replace

from farglide.outlook.review import (
    BestChange,
    Choice,
    FlightReview,
    Honesty,
    Learned,
    Occurred,
    Promise,
    Review,
    StatedChance,
    TrueRow,
    WindOff,
)

LAUNCH_T_S = 1_800_697_200.0

TIME = Promise(
    what="time at 5 km", told="plan", unit="s", middle=788.6, half_low=747.3, half_high=842.5,
    most_low=675.6, most_high=935.2, came=741.1, at_least=False, within="most",
)  # fmt: skip
PLACE = Promise(
    what="off its place at 5 km", told="plan", unit="m", middle=0.0, half_low=0.0, half_high=1230.0,
    most_low=0.0, most_high=2371.9, came=1091.9, at_least=False, within="half",
)  # fmt: skip
BURST = Promise(
    what="burst height", told="at 20 km, 8 in 10", unit="m", middle=29_921.0, half_low=None,
    half_high=None, most_low=28_100.0, most_high=31_761.0, came=27_208.2, at_least=True,
    within="unjudged",
)  # fmt: skip
DOWN = Promise(
    what="down, flown in time", told="plan, middle", unit="s", middle=7560.0, half_low=None,
    half_high=None, most_low=None, most_high=None, came=None, at_least=False, within="unjudged",
)  # fmt: skip
FAR = replace(TIME, what="time at 10 km", came=4000.0, within="outside")
WINDOW = replace(BURST, what="release, in the window", told="plan, window", at_least=False,
                 came=29_000.0, within="most")  # fmt: skip

FLIGHT = FlightReview(
    name="Amber evening",
    log="/somewhere/ride.log",
    launch_t_s=LAUNCH_T_S,
    zone="UTC+07:00",
    airframe="the grey one",
    batch="box of May",
    ended="released",
    ended_why="marked",
    is_finished=True,
    is_rehearsed=False,
    n_fixes=3219,
    landed_at="Harrowend strip",
    neck_lift_kg=2.15,
    neck_lift_sd_kg=0.05,
    promises=(TIME, PLACE, BURST, DOWN, FAR, WINDOW),
    occurred=(
        Occurred(after_launch_s=0.0, what="launched", amsl_m=245.0, origin="marked"),
        Occurred(after_launch_s=4215.8, what="released", amsl_m=27_217.3, origin="marked"),
    ),
    winds=(
        WindOff(where="the jet", from_amsl_m=8550.0, to_amsl_m=11_550.0, told_mps=32.5,
                faster_mps=9.05, to_right_mps=-0.9, sd_mps=0.16, told_sd_mps=2.4, n_stretches=28),
    ),
    shallow_ratio=0.77,
    deep_ratio=1.66,
    choice=Choice(due_after_launch_s=4298.0, from_after_launch_s=4100.0, sent_after_launch_s=4210.0,
                  released_after_launch_s=4214.0, field="Harrowend strip", chance_ratio=0.9,
                  best_ratio=0.97),
    notes=("The log is unfinished: this is the flight so far.",),
)  # fmt: skip

DRAG = Learned(
    key="balloon.drag_factor", what="drag of the balloon, times its curve", unit="",
    gear="box of May", thought=1.0, thought_sd=0.1, was=0.877, was_sd=0.012, was_at_least=False,
    use=0.926, use_sd=0.089, spread_key="doubt.ascent_ratio", spread=0.048, between_sd=0.072,
    n_told=1, n_at_least=0, why="",
)  # fmt: skip
LINK = replace(DRAG, key="links[picture].offset_db", what="picture link, off its budget", unit="dB",
               gear="the grey one", thought=0.0, thought_sd=2.0, was=-1.26, was_sd=0.6, use=-0.91,
               use_sd=1.1, spread_key="links[picture].spread_db", spread=1.1)  # fmt: skip
WIDE = replace(DRAG, key="balloon.burst_diameter_m", what="bursting diameter", unit="m",
               thought=7.05, thought_sd=0.42, was=6.1, was_sd=0.06, was_at_least=True, use=7.06,
               use_sd=0.41, spread_key="balloon.burst_diameter_spread_ratio", spread=0.058,
               n_at_least=1, why="seen so far, so that it is at least that")  # fmt: skip
KEPT = replace(DRAG, key="crew.reaction_s", what="from seeing to the moving pin", unit="s",
               gear="the crew", thought=10.0, thought_sd=3.0, was=None, was_sd=None, use=10.0,
               use_sd=3.0, spread_key="crew.reaction_spread_ratio", spread=0.3, between_sd=None,
               n_told=0, why="nothing was marked: kept")  # fmt: skip
EXACT = replace(DRAG, key="packs[all].cold_ratio", what="share that the cold leaves", thought=0.65,
                gear="pack all", thought_sd=0.0, use=0.65, use_sd=0.0, spread=0.0, between_sd=None,
                spread_key="packs[all].cold_spread_ratio",
                why="the flight file takes it as exact")  # fmt: skip
WIND = replace(DRAG, key="doubt.deep_wind", what="winds' deep errors", gear="the winds",
               thought=0.0, thought_sd=0.35, use=0.2, use_sd=0.28, spread_key="",
               spread=0.28)  # fmt: skip

FEW = TrueRow(from_ratio=0.8, to_ratio=0.95, n=10, n_flights=1, told_ratio=0.9, came_ratio=1.0,
              low_ratio=0.72, high_ratio=1.0, is_few=True)  # fmt: skip

REVIEW = Review(
    flights=(FLIGHT,),
    learned=(DRAG, WIDE, LINK, KEPT, EXACT, WIND),
    n_early_bursts=0,
    n_followed=1,
    stated=(StatedChance(flight=0, what="a burst within 5 min", after_launch_s=60.0,
                         chance_ratio=0.9, came=True),),
    honesty=Honesty(n=10, n_flights=1, brier=0.01, brier_constant=0.0, rows=(FEW,), is_few=True),
    change=BestChange(what="100 g more neck lift", field="Harrowend strip", from_ratio=0.81,
                      to_ratio=0.88, advice="", unknown="early bursts", unknown_ratio=0.04),
    notes=("Left out: other.log is no log of a ride.",),
)  # fmt: skip
NOTHING = replace(
    REVIEW,
    learned=(KEPT,),
    n_followed=0,
    stated=(),
    honesty=Honesty(n=0, n_flights=0, brier=None, brier_constant=None, rows=(), is_few=True),
    change=None,
    notes=(),
)
