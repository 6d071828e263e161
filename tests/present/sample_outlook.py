"""A complete outlook of the made-up evening flight, for the tests of what people see."""

from dataclasses import replace

from tests.present.sample_climb import ascent, release, side
from tests.present.sample_fields import contours, field_of, spread
from tests.present.sample_flight import FIELDS
from tests.present.sample_gear import fill, gain, glider
from tests.present.sample_launch import launch_area
from tests.present.sample_links import CAR, LINKS, LOST_PICTURES, held

from farglide.outlook.ascent import Spread
from farglide.outlook.changes import Wait
from farglide.outlook.faults import SecondsLeft, Unsteered
from farglide.outlook.fields import Gap
from farglide.outlook.gear import PackEnd, SunOutlook
from farglide.outlook.outlook import Outlook
from farglide.outlook.release import FlownOutlook, SpeedRow


def sample() -> Outlook:
    """Return the outlook of the flight that goes as planned."""
    return Outlook(
        name="Amber evening",
        launch_t_s=1_800_697_200.0,
        zone="UTC+07:00",
        launch_name="Harrowend",
        n_draws=200,
        seed=1,
        wind_origin="sounding of Friday 13:00, written by hand",
        wind_age_s=9600.0,
        launch_lat_deg=-46.5,
        launch_lon_deg=108.0,
        verdict="Launch from Harrowend at 16:40, release between 25.4 and 26.1 km going up, about "
        "17:54 to 17:55: the chance of coming home to Harrowend is 9 in 10 if the release and the "
        "pull-out work, and by your tests of both at least 8 in 10.",
        order="Release by 26.1 km (about 17:55): after that a burst becomes likely.",
        elsewhere="Launch 30 km upwind of home instead, near 46.33° S 107.70° E (49 min drive): "
        "the chance of home is then 19 in 20.",
        why="Home is shut from 17:09 to 17:41; until then it is Tansy Lea, from 17:24 to 17:28 "
        "Brackmoor. Come home faster than the flattest way: the packs end at 18:49, forty-four "
        "minutes before the sun.",
        cleared=True,
        missing=(),
        asked=(),
        ground_wind_mps=3.2,
        ground_wind_limit_mps=5.0,
        wind_distance_m=12_000.0,
        guesses=("bursting diameter", "what the cold leaves of pack all"),
        usual=("balloon drag",),
        open_ratio=0.9,
        doubtful_ratio=0.5,
        enough_ratio=0.9,
        ascent=ascent(),
        fields=tuple(field_of(row) for row in FIELDS),
        gap_s=0.0,
        gaps=(),
        release=release(),
        would_open=(),
        fill=fill(),
        packs=(PackEnd(name="pack", after_launch_s=spread(118.0, 129.9, 141.0, 60.0)),),
        sun=SunOutlook(
            sunset_after_launch_s=173.0 * 60.0,
            dusk_after_launch_s=208.0 * 60.0,
            azimuth_deg=257.0,
            elevation_deg=14.0,
            field="Harrowend",
            field_bearing_deg=310.0,
            field_distance_m=56_000.0,
        ),
        latest_launch_delay_s=2400.0,
        holds=(Wait(delay_s=900.0, chance_ratio=0.9), Wait(delay_s=1800.0, chance_ratio=0.8)),
        as_planned=gain("as planned", 0.93, 34.0, 0.0),
        gains=(
            gain("launch 30 km upwind of home", 0.97, 7.0, -2.0, "Drive to the north-west."),
            gain("pack of 33 Wh", 0.95, 34.0, 1.0, "Carry one cell more."),
            gain("glide ratio 10 % better", 0.94, 29.0, 0.0, "Tape the gaps."),
        ),
        launch=launch_area(),
        unknowns=(
            gain("glide ratio, a guess", 0.7, 44.0, -3.0, "Fly ten test glides."),
            gain("cold share of the pack", 0.8, 34.0, -5.0, "One hour in a freezer."),
            gain("bursting diameter, typical", 0.86, 34.0, -2.0, "Measure it after each flight."),
        ),
        links=(),
        held=(),
        car=None,
        ground="",
        flown=FlownOutlook(
            release_after_launch_s=82.0 * 60.0,
            release_amsl_m=26_070.0,
            over_field_ratio=0.97,
            burst_before_ratio=0.05,
            over_field_amsl_m=Spread(p10=12_000.0, p50=16_000.0, p90=18_500.0),
            down_after_launch_s=Spread(p10=9_000.0, p50=11_000.0, p90=13_000.0),
            peak_mach=0.45,
            missed_lat_deg=-46.6,
            missed_lon_deg=108.2,
        ),
        unsteered=(
            Unsteered(
                what="glider, hands off",
                from_after_launch_s=4530.0,
                from_amsl_m=26_300.0,
                down_after_launch_s=Spread(p10=13_000.0, p50=13_770.0, p90=14_500.0),
                drift_m=131_000.0,
                lat_deg=-47.6,
                lon_deg=109.9,
                radius_m=42_000.0,
            ),
        ),
        seconds_left=(
            SecondsLeft(burst_amsl_m=27_475.0, field="Harrowend", seconds_s=146.0),
            SecondsLeft(burst_amsl_m=27_475.0, field="Tansy Lea", seconds_s=260.0),
        ),
        glider=glider(),
        speeds=(
            SpeedRow(
                amsl_m=10_000.0,
                quick_eas_mps=31.0,
                quick_ground_mps=14.0,
                quick_sink_mps=20.0,
                timely_eas_mps=None,
                timely_ground_mps=None,
                timely_sink_mps=None,
                flat_eas_mps=None,
                flat_ground_mps=None,
                flat_sink_mps=None,
                quick_held_by="top speed",
            ),
        ),
        side=side(),
        contours=contours(),
        levels_note="Levels are pressure, read from the sounding; the receiver shows true height.",
        notes=("2 levels without wind left out",),
        cautions=(
            "Out of sight after release: ask who must allow it.",
            "The driver neither reads nor hears. Legal speed.",
            "Land 100 to 300 m beside a road, clear of wires, rail, animals and people.",
            "Ask the owner of the field. Latex and line fall too.",
            "Hydrogen: earth the filler, no spark. Stop above 5 m/s of wind.",
        ),
    )


def not_cleared() -> Outlook:
    """Return the same flight with two permissions missing."""
    return replace(sample(), cleared=False, missing=("flight out of sight", "free balloon"))


def no_release() -> Outlook:
    """Return a flight with no release that meets what the crew asks."""
    return replace(
        sample(),
        release=None,
        verdict="No release above 20 km brings it home: do not launch like this.",
        why="Home stays shut to the burst.",
        would_open=("launch 30 km upwind of home", "fly the day after"),
        gap_s=360.0,
        gaps=(
            Gap(
                from_after_launch_s=2550.0,
                to_after_launch_s=2910.0,
                best_field="Brackmoor",
                best_ratio=0.84,
            ),
        ),
    )


def hostile() -> Outlook:
    """Return a flight whose names are written to break a page."""
    name = "<b>&\"'</b><script>"
    base = sample()
    assert base.release is not None
    fields = (replace(base.fields[0], name=name, role=name), *base.fields[1:])
    return replace(
        base,
        name=name,
        launch_name=name,
        zone="UTC",
        wind_origin=name,
        verdict=name,
        why=name,
        missing=(name,),
        cleared=False,
        fields=fields,
        release=replace(base.release, field=name),
        packs=(replace(base.packs[0], name=name),),
        as_planned=gain("as planned", 0.93, 34.0, 0.0),
        gains=(gain(name, 0.9, 1.0, 0.0, name),),
        unknowns=(gain(name, 0.9, 1.0, 0.0, name),),
        cautions=(name,),
        levels_note=name,
        would_open=(name,),
        contours=(replace(base.contours[0], field=name),),
    )


def with_links() -> Outlook:
    """Return the sample with two links heard from the hill."""
    made = sample()
    fields = tuple(replace(field, lost_picture_agl_m=LOST_PICTURES) for field in made.fields)
    ground = "elevation of the made-up ground"
    return replace(made, fields=fields, links=LINKS, held=held(), car=CAR, ground=ground)
