"""Causes: each limit of the demo and of a real day, tightened until it shuts a field, is named."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.heights import chances_of_heights
from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.earth.sun import dusk_t_s
from farglide.outlook.fields import Cause
from farglide.plan.places.causes import Stretch, causes
from farglide.plan.planned import settled
from farglide.rig.listening import listening_of
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known, Tag
from farglide.sortie.spec import LinkSpec, Sortie

HOME, TANSY, BRACKMOOR, CORRAND = range(4)
GRAIN = Grain(n_draws=100, clock_s=60.0, prices_mps=(4.0, 12.0, 30.0, 100.0, 1000.0), slab=5)
PLANS = Path(__file__).parents[3] / "docs" / "plans"


def drawn(sortie: Sortie, sounding: Sounding) -> Ensemble:
    """Return few draws with their links over flat ground."""
    return replace(
        drawn_ensemble(sortie, sounding, GRAIN), listening=listening_of(sortie, terrain=None)
    )


def told(ensemble: Ensemble, field: int, low_m: float, high_m: float) -> tuple[Cause, ...]:
    """Return why a field is not open for releases between two heights."""
    chances = chances_of_heights(ensemble, 500.0)
    (found,) = causes(ensemble, chances, [stretch_of(chances, field, low_m, high_m)])
    return found


def stretch_of(chances: Chances, field: int, low_m: float, high_m: float) -> Stretch:
    inside = np.flatnonzero((chances.amsl_m >= low_m) & (chances.amsl_m < high_m))
    return Stretch(field, int(inside[0]), int(inside[-1]) + 1)


@pytest.fixture(scope="module")
def bare(sortie: Sortie) -> Sortie:
    """Return the demo without links, so that no ground is listened over."""
    return replace(sortie, links=(), stands=())


def test_home_under_the_jet_is_shut_by_the_head_wind(bare: Sortie, demo_sounding: Sounding) -> None:
    (cause,) = told(drawn(bare, demo_sounding), HOME, 11e3, 17e3)
    assert (cause.kind, cause.is_guess) == ("wind", False)
    assert "km from the field, head wind 36 m/s at 10 km" in cause.words
    assert cause.saves_ratio > 0.7  # in calm air nearly all would get home


def test_a_far_field_early_on_is_shut_by_the_height(bare: Sortie, demo_sounding: Sounding) -> None:
    (cause,) = told(drawn(bare, demo_sounding), CORRAND, 1e3, 3e3)
    assert (cause.kind, cause.saves_ratio) == ("height", 0.0)
    assert cause.words.endswith(" km too low")


def test_small_packs_are_named_and_a_guess_of_them_is_one(
    bare: Sortie, demo_sounding: Sounding
) -> None:
    (pack,) = bare.packs
    small = replace(bare, packs=(replace(pack, energy_wh=Known(value=16.0)),))
    (cause,) = told(drawn(small, demo_sounding), HOME, 24e3, 26e3)
    assert (cause.kind, cause.words) == ("packs", "the packs end first")
    guessed = replace(small, tags=small.tags | {f"packs[{pack.name}].cold_ratio": Tag.GUESS})
    (cause,) = told(drawn(guessed, demo_sounding), HOME, 24e3, 26e3)
    assert cause.words == "the packs end first, by a guess of what they hold"
    assert cause.is_guess


def near_dusk(sortie: Sortie, minutes: float) -> Sortie:
    """Return the flight launched some minutes before dusk."""
    launch, home = sortie.launch, sortie.fields[0]
    dusk = dusk_t_s(launch.t_s, home.lat_deg, home.lon_deg)
    assert dusk is not None
    return replace(sortie, launch=replace(launch, t_s=dusk - 60.0 * minutes))


def test_dusk_is_named(bare: Sortie, demo_sounding: Sounding) -> None:
    (cause,) = told(drawn(near_dusk(bare, 85.0), demo_sounding), HOME, 24e3, 26e3)
    assert (cause.kind, cause.words) == ("light", "it gets dark first")


def test_where_packs_and_light_both_end_too_soon_neither_alone_is_it(
    bare: Sortie, demo_sounding: Sounding
) -> None:
    (pack,) = bare.packs
    small = replace(pack, energy_wh=Known(value=16.0))
    (cause,) = told(
        drawn(replace(near_dusk(bare, 85.0), packs=(small,)), demo_sounding), HOME, 24e3, 26e3
    )
    assert cause.kind == "time"
    assert cause.words in ("it gets dark first", "the packs end first")


def weaker(link: LinkSpec, loss_db: float) -> LinkSpec:
    return replace(link, power_w=link.power_w * 10.0 ** (-0.1 * loss_db))


@pytest.mark.parametrize(("which", "name"), [((0,), "picture"), ((1,), "command")])
def test_a_weak_link_is_named_with_its_stand(
    sortie: Sortie, demo_sounding: Sounding, which: tuple[int, ...], name: str
) -> None:
    links = tuple(weaker(one, 40.0 * (k in which)) for k, one in enumerate(sortie.links))
    (cause,) = told(drawn(replace(sortie, links=links), demo_sounding), HOME, 24e3, 26e3)
    assert (cause.kind, cause.is_guess) == (name, False)
    assert cause.words.startswith(f"{name} lost on the way for a crew at ")
    assert cause.words.split("crew at ")[1] in {stand.name for stand in sortie.stands}


def test_of_two_weak_links_both_are_named_and_untested_budgets_are(
    sortie: Sortie, demo_sounding: Sounding
) -> None:
    links = tuple(replace(weaker(one, 40.0), spread_db=8.0) for one in sortie.links)
    (cause,) = told(drawn(replace(sortie, links=links), demo_sounding), HOME, 24e3, 26e3)
    assert cause.kind == "links"
    assert cause.words.startswith("command and picture lost on the way for a crew at ")
    assert cause.words.endswith(", by a link budget that nobody tested")
    assert cause.is_guess


def test_before_a_stand_is_manned_that_is_it(sortie: Sortie, demo_sounding: Sounding) -> None:
    stands = tuple(replace(one, drive_s=2.0 * 3600.0) for one in sortie.stands)
    (cause,) = told(drawn(replace(sortie, stands=stands), demo_sounding), HOME, 24e3, 26e3)
    assert (cause.kind, cause.words) == ("stand", "no stand is manned yet")


def test_a_crew_still_at_the_launch_is_told_and_not_its_links_alone(
    sortie: Sortie, demo_sounding: Sounding
) -> None:
    """The stands near the drift would hold, but the crew is still two degrees away."""
    here, *there = sortie.stands
    away = replace(here, name="Yard", lat_deg=here.lat_deg + 2.0, drive_s=0.0)
    stands = (away, *(replace(one, drive_s=2.0 * 3600.0) for one in there))
    waits = drawn(replace(sortie, stands=stands), demo_sounding)
    (cause,) = told(waits, HOME, 24e3, 26e3)
    assert (cause.kind, cause.words) == (
        "stand",
        "no stand but Yard is manned yet, from where command and picture are lost on the way",
    )


def test_a_range_once_reached_is_no_budget_that_nobody_tested(
    sortie: Sortie, demo_sounding: Sounding
) -> None:
    links = tuple(replace(weaker(one, 40.0), spread_db=8.0) for one in sortie.links)
    links = tuple(
        replace(
            one, reached_m=30e3, noise_figure_db=None, needed_ratio_db=None, sensitivity_dbm=None
        )
        for one in links
    )
    (cause,) = told(drawn(replace(sortie, links=links), demo_sounding), HOME, 24e3, 26e3)
    assert cause.kind == "links"
    assert "tested" not in cause.words
    assert not cause.is_guess


@pytest.mark.parametrize(
    ("limits", "kind", "words"),
    [
        ({"top_mach": 0.29956}, "mach", "the pull-out passes the Mach limit of 0.3, a guess"),
        ({"top_eas_mps": 17.0}, "top_eas", "the pull-out passes the top speed of 17 m/s"),
        (
            {"top_mach": 0.3, "top_eas_mps": 17.0},
            "speeds",
            "the pull-out passes the Mach limit of 0.3 or the top speed of 17 m/s, the Mach limit "
            "a guess",
        ),
        ({"top_mach": 0.15}, "mach", "no speed fits between the stall and the Mach limit of 0.15"),
    ],
)
def test_a_low_speed_limit_is_named(
    bare: Sortie,
    demo_sounding: Sounding,
    limits: dict[str, float],
    kind: str,
    words: str,
) -> None:
    tags = bare.tags | {"glider.top_mach": Tag.GUESS}
    slow = replace(bare, glider=replace(bare.glider, **limits), tags=tags)
    (cause,) = told(drawn(slow, demo_sounding), BRACKMOOR, 24e3, 27e3)
    assert cause.kind == kind
    assert cause.words.startswith(words)
    assert cause.is_guess == ("top_mach" in limits)


def test_a_top_speed_that_only_slows_the_way_home_is_named(
    bare: Sortie, demo_sounding: Sounding
) -> None:
    """Against the jet a glider that may fly faster gets home: it is held too slow."""
    glider = replace(bare.glider, top_eas_mps=11.5)
    tags = bare.tags | {"glider.top_eas_mps": Tag.GUESS}  # the pull-out is not held against it
    ensemble = drawn(replace(bare, glider=glider, tags=tags), demo_sounding)
    found = told(ensemble, HOME, 23e3, 26e3)
    assert "too slow, held back by the top speed of 12 m/s, a guess" in {one.words for one in found}


def test_one_cause_follows_the_other(bare: Sortie, demo_sounding: Sounding) -> None:
    late = drawn(near_dusk(bare, 80.0), demo_sounding)
    found = told(late, HOME, 11e3, 26e3)
    assert [one.kind for one in found] == ["wind", "light"]


def test_where_a_drop_never_comes_level_that_is_it(bare: Sortie, demo_sounding: Sounding) -> None:
    ensemble = drawn(bare, demo_sounding)
    losses = ensemble.reach.losses
    losses = losses._replace(lost_m=np.full_like(losses.lost_m, np.nan))
    stuck = replace(ensemble, reach=replace(ensemble.reach, losses=losses))
    chances = chances_of_heights(ensemble, 500.0)
    stretch = stretch_of(chances, CORRAND, 1e3, 2e3)
    (found,) = causes(stuck, chances, [stretch])
    assert {one.kind for one in found} <= {"drop", "speeds"}


@pytest.fixture(scope="module")
def forecast() -> Callable[[float, Tag], Ensemble]:
    """Return a function that draws the documented plan by a forecast, with another Mach limit."""
    wanted = Wanted(file=PLANS / "forecast.toml", winds=None, pack=None, out=None)
    flight, pack = flight_and_pack(wanted)
    sortie = settled(flight, pack).sortie

    def limited(top_mach: float, tag: Tag) -> Ensemble:
        tags = sortie.tags | {"glider.top_mach": tag}
        glider = replace(sortie.glider, top_mach=top_mach)
        return drawn(replace(sortie, glider=glider, tags=tags), pack.sounding)

    return limited


def test_on_a_real_day_a_guessed_mach_limit_is_told_as_what_shuts_a_field(
    forecast: Callable[[float, Tag], Ensemble],
) -> None:
    """Long Acre lies under the end of the drift: from 28 km up nothing else stands in the way."""
    (cause,) = told(forecast(0.4, Tag.GUESS), 2, 28e3, 30e3)
    assert cause.words == "the pull-out passes the Mach limit of 0.4, a guess"
    assert (cause.kind, cause.is_guess) == ("mach", True)
    assert cause.saves_ratio > 0.85


def test_on_a_real_day_a_mach_limit_that_costs_nothing_is_not_told(
    forecast: Callable[[float, Tag], Ensemble],
) -> None:
    """At the 0.55 that the plan states its fields are shut by the wind, and by height early on."""
    ensemble = forecast(0.55, Tag.GUESS)
    (cause,) = told(ensemble, 1, 16e3, 22e3)
    assert (cause.kind, cause.is_guess) == ("wind", False)
    # 31 m/s over the launch, a little less down the drift
    assert re.search(r"head wind (29|3[01]) m/s at (9|10) km$", cause.words)
    assert {one.kind for one in told(ensemble, 2, 0.5e3, 4e3)} == {"height"}
