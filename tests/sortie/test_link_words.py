"""Which links a plan counts, in words: all, one, or none where nobody stands to hear them."""

from dataclasses import replace

import pytest

from farglide.air.column import Sounding
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.outlook import Outlook
from farglide.plan.links.carplan import _moves
from farglide.plan.places.fieldviews import _never_level
from farglide.plan.plan import plan
from farglide.present.say.answer import answer_lines
from farglide.sim.core.losses import LOSS_STEP_M
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie


def told(sortie: Sortie, sounding: Sounding) -> tuple[Outlook, str]:
    outlook = plan(sortie, Pack(sounding=sounding), Grain(n_draws=60))
    return outlook, " ".join(" ".join(answer_lines(outlook)).split())


def test_with_one_link_the_other_is_not_spoken_of(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    picture, command = demo_flight.sortie.links
    for kept, named, missing in ((picture, "picture", "command"), (command, "command", "picture")):
        bare = replace(demo_flight.sortie, links=(kept,), terrain=None)
        outlook, text = told(bare, demo_sounding)
        assert f"No {missing} link is stated, so none counts." in outlook.why
        assert f"packs, light, and {named} on a straight way" in text
        assert ("No picture, still on the line" in text) == (named == "picture")
        assert "picture of Harrowend strip holds" not in text or named == "picture"
        assert "own command:" not in text


def test_links_that_nobody_hears_do_not_count(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    outlook, _ = told(replace(demo_flight.sortie, stands=(), terrain=None), demo_sounding)
    assert "No stand is stated, so no link counts." in outlook.why


def test_a_stated_drive_counts_for_going_on(demo_flight: FlightFile) -> None:
    """Two stands at 40 and 110 minutes from the launch lie an hour or more apart."""
    home, knap, gap = demo_flight.sortie.stands
    stands = (home, replace(knap, drive_s=2400.0), replace(gap, drive_s=6600.0))
    sortie = replace(demo_flight.sortie, stands=stands)
    moves = {move.stand: move for move in _moves(sortie, (stands[1], None), 0, None)}
    assert moves[gap.name].silent_s >= 4200.0 + sortie.set_up_s


@pytest.mark.parametrize(("share", "expected"), [(0.02, False), (0.6, True)])
def test_a_few_bad_drops_are_not_the_reason(
    share: float, expected: bool, demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    ensemble: Ensemble = drawn_ensemble(demo_flight.sortie, demo_sounding, asked)
    lost_m = ensemble.reach.losses.lost_m.copy()
    lost_m[: round(share * len(lost_m))] = float("nan")
    losses = ensemble.reach.losses._replace(lost_m=lost_m)
    hurt = replace(ensemble, reach=replace(ensemble.reach, losses=losses))
    assert _never_level(hurt, 20_000.0) is expected


def test_between_a_level_drop_and_none_there_is_none(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    """The law is not a number as soon as one node beside it is none."""
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    ensemble: Ensemble = drawn_ensemble(demo_flight.sortie, demo_sounding, asked)
    lost_m = ensemble.reach.losses.lost_m.copy()
    lost_m[:, 3:] = float("nan")
    losses = ensemble.reach.losses._replace(lost_m=lost_m)
    hurt = replace(ensemble, reach=replace(ensemble.reach, losses=losses))
    base_m = ensemble.air.column.layers.base_amsl_m
    assert not _never_level(hurt, base_m + 2.0 * LOSS_STEP_M)
    assert _never_level(hurt, base_m + 2.1 * LOSS_STEP_M)
