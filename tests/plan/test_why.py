"""Why: each reason is told where it holds, and nowhere else."""

import re
from dataclasses import replace

from farglide.air.sounding import Sounding
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.fields import Gap
from farglide.outlook.outlook import Outlook
from farglide.plan.why import Cover, why
from farglide.sortie.known import Tag
from farglide.sortie.spec import Sortie

from ..conftest import Planned
from .conftest import steps, told


def test_with_one_link_the_other_is_not_spoken_of(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    picture, command = demo_flight.sortie.links
    for kept, named, missing in ((picture, "picture", "command"), (command, "command", "picture")):
        bare = replace(demo_flight.sortie, links=(kept,), terrain=None)
        outlook, text = told(bare, demo_sounding)
        assert f"No {missing} link is stated, so none is counted." in outlook.why
        assert f"packs, light, and {named} last on a straight way" in text
        assert ("Try to get it back until" in text) == (named == "picture")
        assert ("picture of a glider coming down" in text) == (named == "picture")
        assert "own command:" not in text


def test_links_that_nobody_hears_do_not_count(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    outlook, _ = told(replace(demo_flight.sortie, stands=(), terrain=None), demo_sounding)
    assert (
        "No stand is stated, so the links are not counted: the real chance may be lower."
        in outlook.why
    )


def test_gaps_are_told_by_the_clock_and_counted(sortie: Sortie, demo: Outlook) -> None:

    def told(spans: list[tuple[float, float]], end_s: float = 7200.0) -> str:
        gaps = tuple(
            Gap(
                from_after_launch_s=a, to_after_launch_s=b, best_field="Brackmoor", best_ratio=0.896
            )
            for a, b in spans
        )
        return why(sortie, None, demo.fields, Cover(gaps, end_s, "the burst", None, 40e3))

    # the launch is at 16:40, the end 2 h later
    assert " to 18:40, the burst, some field is always open." in told([])
    one = told([(600.0, 1200.0)])
    # 0.896 is not 0.9: told as 9 in 10 it would contradict the words before it
    assert (
        "No field has 9 in 10 from 16:50 to 17:00 (Brackmoor comes nearest, 8 in 10 on average), "
        "nor does any before " in one
    )
    four = [(600.0 * k, 600.0 * k + 300.0) for k in range(1, 5)]
    assert (
        " and from 17:00 to 17:05 (Brackmoor comes nearest, 8 in 10 on average) and 2 times more, "
        "nor does" in told(four)
    )
    assert "that is after 16:40, the burst." in told([], end_s=0.0)
    assert why(sortie, None, (), Cover((), 0.0, "the burst", None, 40e3)) == ""


def test_winds_only_held_on_are_told(sortie: Sortie, demo: Outlook) -> None:
    assert demo.release is not None
    top_m = demo.release.window.to_amsl_m
    for beyond_m, is_told in ((top_m - 600.0, True), (top_m, False), (None, False)):
        text = why(
            sortie, demo.release, demo.fields, Cover((), 7200.0, "the burst", beyond_m, 40e3)
        )
        assert ("No winds are known above" in text) is is_told


def test_a_plainly_better_field_and_a_home_only_a_little_worse_are_told(
    sortie: Sortie, demo: Outlook
) -> None:
    cover = Cover((), 7200.0, "the burst", None, 40e3)
    assert demo.release is not None
    home, tansy, brack, corrand = demo.fields
    chosen = replace(demo.release, field=tansy.name, chance_ratio=0.8)

    def told(of_home: float, of_brack: float) -> str:
        fields = (steps(home, of_home), tansy, steps(brack, of_brack), steps(corrand, 0.1))
        return why(sortie, chosen, fields, cover)

    # of equal chances the highest is told: hardly a balloon gets above 32 km
    assert "Flying to Brackmoor instead, released at 32 km: 19 in 20." in told(0.5, 0.95)
    assert "Brackmoor instead" not in told(0.5, 0.82)
    assert "Flying to Harrowend strip instead, released at 32 km: 7 in 10." in told(0.71, 0.5)
    assert "Harrowend strip instead" not in told(0.69, 0.5)
    both = told(0.75, 0.95)
    assert both.index("Brackmoor instead") < both.index("Harrowend strip instead")


def test_a_speed_limit_that_ends_the_window_is_told_and_not_a_way_back_too_long(
    sortie: Sortie, planned: Planned
) -> None:
    """At a guessed Mach limit of 0.38 pull-outs from above some 27 km pass it."""
    glider = replace(sortie.glider, top_mach=0.38)
    tags = sortie.tags | {"glider.top_mach": Tag.GUESS}
    outlook = planned(replace(sortie, glider=glider, tags=tags))
    release = outlook.release
    assert release is not None
    assert release.bound_by == "speeds"
    home = outlook.fields[0]
    last = home.bands[-1]
    assert (last.state, last.causes[0].kind) == ("shut", "mach")
    assert last.reason == "the pull-out passes the Mach limit of 0.38, a guess"
    assert "after that the glider would pass a speed limit." in outlook.order
    assert f"{last.reason}." in outlook.order
    assert "the way to the field is too long" not in outlook.order


def test_above_the_wanted_height_the_reason_is_told(sortie: Sortie, planned: Planned) -> None:
    glider = replace(sortie.glider, top_mach=0.22)
    outlook = planned(replace(sortie, glider=glider))
    assert outlook.release is not None
    assert re.search(
        r"From the \d+ km you want upward no field is worth a release \(.*Mach limit of 0.22\)\.",
        outlook.why,
    )


def test_a_field_shut_even_at_the_release_is_told_by_what_keeps_the_chance_low(
    sortie: Sortie, demo: Outlook
) -> None:
    release, home = demo.release, demo.fields[0]
    assert release is not None
    cover = Cover((), 5000.0, "the burst", None, 32_000.0)
    band = replace(home.bands[1], state="shut", reason="66 km away", from_after_launch_s=600.0)
    for to_s, words in (
        (release.window.from_after_launch_s - 600.0, "Released from 16:50 to "),
        (release.window.to_after_launch_s + 600.0, "What keeps the chance low: 66 km away."),
    ):
        field = replace(home, bands=(replace(band, to_after_launch_s=to_s),))
        assert words in why(sortie, release, (field,), cover)


def test_without_height_to_spare_no_height_to_cross_the_field_at_is_told(
    sortie: Sortie, demo: Outlook
) -> None:
    release = demo.release
    assert release is not None
    assert release.timely is not None
    cover = Cover((), 5000.0, "the burst", None, 32_000.0)
    bare = replace(release, timely=replace(release.timely, spare_m=499.0))
    told = why(sortie, bare, demo.fields, cover)
    late = "The flattest glide lands after the packs end."
    assert f"{late} Flown fast enough to land in time, it has no height to spare." in told
