"""Landing: on its field, beside it, or nobody knows."""

from dataclasses import replace

from farglide.chances.ensemble import Ensemble
from farglide.review.flown import Flown, Marked, What
from farglide.review.landing import Landed, landed_of
from farglide.review.parted import parted

from .made import Made, without_marks


def landed(planned: Ensemble, flown: Flown) -> Landed:
    sortie, scene = planned.sortie, planned.air.scene
    return landed_of(sortie, scene, flown, parted(flown, sortie.launch, scene))


def test_a_flight_home_comes_down_at_home(planned: Ensemble, as_told: Made) -> None:
    found = landed(planned, without_marks(as_told.flown))
    assert (found.is_known, found.field) == (True, "Harrowend strip")
    assert found.over_s is not None
    assert found.seen_s is not None
    assert found.over_s <= found.seen_s


def test_away_from_all_fields_it_came_on_none(planned: Ensemble, as_told: Made) -> None:
    away = tuple(replace(one, lon_deg=one.lon_deg - 0.1) for one in as_told.flown.fixes)
    found = landed(planned, replace(without_marks(as_told.flown), fixes=away))
    assert (found.is_known, found.field) == (True, "")


def test_what_was_last_seen_high_up_is_not_known(planned: Ensemble, as_told: Made) -> None:
    half = replace(as_told.flown, fixes=as_told.flown.fixes[:1300])
    assert not landed(planned, half).is_known
    down = Marked(t_s=planned.sortie.launch.t_s + 9000.0, what=What.DOWN)
    assert landed(planned, replace(half, marked=(*half.marked, down))).is_known


def test_a_rehearsal_says_where_itself(planned: Ensemble, as_told: Made) -> None:
    over = Marked(t_s=planned.sortie.launch.t_s + 8000.0, what=What.OVER, field="Brackmoor")
    found = landed(planned, replace(as_told.flown, marked=(*as_told.flown.marked, over)))
    assert (found.field, found.over_s) == ("Brackmoor", 8000.0)
