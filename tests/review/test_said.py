"""Said: by what gear flights are pooled, and why a number is kept."""

from dataclasses import replace

from farglide.chances.ensemble import Ensemble
from farglide.review.pooled import Shown
from farglide.review.said import EXACT, airframe_of, batch_of, belief_of, why_of
from farglide.sortie.known import Known


def test_gear_is_told_by_its_name_else_by_its_measures(planned: Ensemble) -> None:
    sortie = planned.sortie
    assert airframe_of(sortie) == "680 g, 0.15 m²"
    assert batch_of(sortie) == "1000 g balloon"
    named = replace(
        sortie,
        glider=replace(sortie.glider, airframe="the grey one"),
        balloon=replace(sortie.balloon, batch="box of May"),
    )
    assert (airframe_of(named), batch_of(named)) == ("the grey one", "box of May")


def test_beliefs_are_those_of_the_file() -> None:
    assert belief_of(Known(value=10.0, sd=3.0), 0.5) == (10.0, 3.0, 0.5)


def test_why() -> None:
    assert why_of(None, "nobody looked", 0.1) == "nobody looked: kept"
    assert why_of(Shown(1.0, 0.1), "nobody looked", 0.0) == EXACT
    assert why_of(Shown(1.0, 0.1, at_least=True), "", 0.1).endswith("at least that")
    assert why_of(Shown(1.0, 0.1), "", 0.1) == ""
