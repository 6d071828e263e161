"""Advices made by hand, to be changed at will: of the climb, and after the release."""

from dataclasses import replace

from farglide.outlook.advice import (
    Advice,
    AirNow,
    BurstAhead,
    FieldNow,
    FillNow,
    LeakNow,
    Level,
    PictureOff,
    PlaceNow,
    ReleaseAdvice,
    Waited,
)
from farglide.outlook.after import (
    AfterNow,
    BarrierAhead,
    ComesDown,
    LandingNow,
    LinkEnd,
    Stage,
    SteerNow,
    StoryNow,
)
from farglide.outlook.ascent import Spread
from farglide.outlook.freshness import AimNow, Freshness, NeedNow

RELEASE = ReleaseAdvice(
    field="Home strip", from_amsl_m=23_200.0, to_amsl_m=27_800.0, from_after_launch_s=4120.0,
    to_after_launch_s=4690.0, release_by_after_launch_s=4660.0, chance_ratio=0.93,
    bound_by="burst", is_enough=True,
)  # fmt: skip
ADVICE = Advice(
    after_launch_s=3600.0,
    level=Level.WATCH,
    data=Freshness.FRESH,
    place=PlaceNow(
        lat_deg=-46.7, lon_deg=108.5, amsl_m=19_540.0, half_within_m=300.0, most_within_m=900.0,
        seen_after_launch_s=3600.0,
    ),
    fields=(
        FieldNow(name="Home strip", state="shut", chance_ratio=0.3, open_ratio=0.3,
                 until_after_launch_s=3720.0, then="doubtful"),
        FieldNow(name="Far meadow", state="open", chance_ratio=0.95, open_ratio=0.95,
                 until_after_launch_s=None, then=None),
    ),
    release=RELEASE,
    waiting=tuple(
        Waited(seconds=s, chance_ratio=chance, climbed_m=up_m, burst_ratio=burst)
        for s, chance, up_m, burst in (
            (0.0, 0.3, 0.0, 0.0), (60.0, 0.4, 409.0, 0.0), (120.0, 0.6, 818.0, 0.0),
            (300.0, 0.9, 2093.0, 0.05),
        )
    ),
    burst=BurstAhead(after_launch_s=Spread(p10=4761.0, p50=4941.0, p90=float("nan")),
                     amsl_m=Spread(p10=28e3, p50=30e3, p90=float("nan"))),
    leak=LeakNow(
        chance_ratio=0.01, since_after_launch_s=None,
        top_amsl_m=Spread(p10=36e3, p50=38e3, p90=40e3), floats_since_after_launch_s=None,
    ),
    fill=FillNow(told_kg=1.6, told_sd_kg=0.05,
                 neck_lift_kg=Spread(p10=1.52, p50=1.61, p90=1.7)),
    picture=PictureOff(link="Camera", offset_db=-4.2, offset_sd_db=2.5),
    aims=(AimNow(stand="Knap", azimuth_deg=245.0, elevation_deg=32.0, range_m=24e3, beam_deg=20.0,
                 data=Freshness.AGEING),),
    air=AirNow(measured_ratio=0.28, ahead_ratio=0.02, spread_ratio=1.0),
)  # fmt: skip

STORIES = (
    StoryNow(story="gliding", chance_ratio=0.97),
    StoryNow(story="hands off", chance_ratio=0.03),
)
STEER = SteerNow(
    field="Home strip", chance_ratio=0.93, away_m=41_000.0, track_deg=312.0, way="in time",
    ground_mps=71.0, sink_mps=11.9, eas_mps=16.2, until_amsl_m=23_700.0,
    arrival_agl_m=Spread(p10=4100.0, p50=5500.0, p90=6900.0), over_after_launch_s=5400.0,
    down_after_launch_s=7200.0, must_end_after_launch_s=7500.0, must_end_by="packs",
)  # fmt: skip
BARRIER = BarrierAhead(
    barrier="Gollan Wood", kind="closed forest", ahead="Home strip", behind="Far meadow",
    chance_ratio=0.95, edge_after_launch_s=4900.0, edge_amsl_m=18_200.0, commit_amsl_m=17_100.0,
    turn_back_until_after_launch_s=4930.0,
)  # fmt: skip
LANDING = LandingNow(
    field="Home strip", wind_from_deg=240.0, wind_mps=4.6, ground_amsl_m=240.0,
    lost_picture=(("Hill", 391.0), ("Gap", 6.0), ("Far side", None)),
)  # fmt: skip
AIM = AimNow(
    stand="Hill",
    azimuth_deg=138.0,
    elevation_deg=32.0,
    range_m=38e3,
    beam_deg=23.0,
    data=Freshness.FRESH,
)
DOWNS = (
    ComesDown(story="hands off", chance_ratio=0.6, down_after_launch_s=12_600.0, drift_m=120e3,
              lat_deg=-47.1, lon_deg=109.2, most_within_m=31e3),
    ComesDown(story="spiral", chance_ratio=0.2, down_after_launch_s=6900.0, drift_m=41e3,
              lat_deg=-47.0, lon_deg=108.8, most_within_m=10e3),
)  # fmt: skip
_GLIDING = replace(
    ADVICE,
    after_launch_s=4800.0,
    level=Level.QUIET,
    stage=Stage.GLIDING,
    place=replace(ADVICE.place, amsl_m=23_400.0, seen_after_launch_s=4798.0, most_within_m=20.0),
    stories=STORIES,
    needs=(
        NeedNow(what="place", data=Freshness.FRESH, age_s=2.0),
        NeedNow(what="picture", data=Freshness.AGEING, age_s=40.0),
        NeedNow(what="car", data=Freshness.UNKNOWN, age_s=None),
    ),
    fields=(
        FieldNow(name="Home strip", state="open", chance_ratio=0.93, open_ratio=0.95,
                 until_after_launch_s=None, then=None, shuts_after_launch_s=5772.0,
                 shuts_amsl_m=17_200.0, arrival_agl_m=Spread(p10=4100.0, p50=5500.0, p90=6900.0)),
        FieldNow(name="Far meadow", state="open", chance_ratio=0.9, open_ratio=0.92,
                 until_after_launch_s=4930.0, then="doubtful",
                 arrival_agl_m=Spread(p10=1000.0, p50=2000.0, p90=3000.0)),
        FieldNow(name="Mill lea", state="shut", chance_ratio=0.0, open_ratio=0.0,
                 until_after_launch_s=None, then=None, shuts_after_launch_s=4800.0),
    ),
    release=None, waiting=(), burst=None, leak=None,
    after=AfterNow(
        since_after_launch_s=4620.0, is_marked=True, steer=STEER, barrier=BARRIER,
        links=(
            LinkEnd(purpose="command", stand="Hill", after_launch_s=None, amsl_m=None),
            LinkEnd(purpose="picture", stand="Hill", after_launch_s=5300.0, amsl_m=6200.0),
        ),
        aim=AIM, landing=LANDING, comes_down=(), comes_free_ratio=None,
    ),
)  # fmt: skip
assert _GLIDING.after is not None
AFTER = {
    "gliding": _GLIDING,
    "over": replace(_GLIDING, after=replace(_GLIDING.after, steer=replace(STEER, away_m=400.0))),
    "low": replace(_GLIDING, level=Level.DECIDE, place=replace(_GLIDING.place, amsl_m=500.0),
                   after=replace(_GLIDING.after, steer=replace(STEER, away_m=400.0,
                   arrival_agl_m=Spread(p10=200.0, p50=250.0, p90=260.0)))),
    "dropped": replace(
        _GLIDING, level=Level.WATCH, stage=Stage.DROPPED, after_launch_s=4632.0,
        after=replace(_GLIDING.after, barrier=None, landing=None, links=()),
    ),
    "tied on": replace(
        _GLIDING, level=Level.NOW, stage=Stage.TIED_ON,
        stories=(StoryNow(story="falling with remains", chance_ratio=1.0),),
        after=replace(_GLIDING.after, barrier=None, landing=None, links=(), comes_free_ratio=0.5),
    ),
    "unsteered": replace(
        _GLIDING, level=Level.NOW, stage=Stage.UNSTEERED, data=Freshness.UNKNOWN,
        place=replace(_GLIDING.place, half_within_m=2100.0, most_within_m=5200.0),
        stories=(StoryNow(story="hands off", chance_ratio=0.6),
                 StoryNow(story="gliding", chance_ratio=0.2),
                 StoryNow(story="spiral", chance_ratio=0.2)),
        after=replace(_GLIDING.after, comes_down=DOWNS),
    ),
    "no field": replace(
        _GLIDING, level=Level.DECIDE, fields=_GLIDING.fields[2:],
        after=replace(_GLIDING.after, steer=None, barrier=None, landing=None, links=()),
    ),
    "down": replace(
        _GLIDING, level=Level.DECIDE, stage=Stage.DOWN,
        stories=(StoryNow(story="down", chance_ratio=0.99),),
        after=replace(_GLIDING.after, steer=None, barrier=None, landing=None, links=(), aim=None),
    ),
}  # fmt: skip
"""The same after the release: at each stage that it may be."""
