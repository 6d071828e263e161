"""Which links a plan counts, in words: all, one, or none where nobody stands to hear them."""

import math
from dataclasses import replace

from farglide.outlook.outlook import Outlook
from farglide.plan.verdict import verdict
from farglide.sortie.spec import Sortie

from .conftest import steps


def test_the_verdict_is_that_of_the_plan(sortie: Sortie, demo: Outlook) -> None:
    release = demo.release
    assert release is not None
    said = verdict(sortie, release, demo.fields)
    assert said == demo.verdict
    assert said.startswith("Launch from Harrowend strip at 16:40, release ")
    assert ": the chance of coming home to Harrowend strip is " in said
    # the words are those of what was found: another field is called by its name
    other = verdict(sortie, replace(release, field="Tansy Lea"), demo.fields)
    assert other == said.replace("coming home to Harrowend strip", "landing at Tansy Lea")


def test_both_numbers_of_a_release_stand_in_one_sentence(sortie: Sortie, demo: Outlook) -> None:
    release = demo.release
    assert release is not None

    def said(chance: float, product: float) -> str:
        told = replace(release, chance_ratio=chance, product_ratio=product)
        return verdict(sortie, told, demo.fields).rpartition(" is ")[2]

    works = "if the release and the pull-out work"
    proven = f"19 in 20 {works}, and by your tests of both at least"
    assert said(0.95, 0.71) == f"{proven} 7 in 10."
    assert said(0.95, 0.656) == f"{proven} 6 in 10."  # what is proven is never rounded up
    assert said(0.95, 0.069) == f"{proven} 1 in 20."
    assert said(1.0, 0.99) == f"over 49 in 50 {works}, and by your tests of both at least 49 in 50."
    assert said(0.3, 0.01) == f"3 in 10 {works}; your tests of both prove less than 1 in 50."
    assert said(0.9, math.nan) == f"9 in 10 {works}; how often they do, no test of both says."


def test_without_a_release_the_verdict_says_the_best_chance(sortie: Sortie, demo: Outlook) -> None:
    best = tuple(steps(field, 0.4 if field.name == "Brackmoor" else 0.3) for field in demo.fields)
    begins = "No release is worth it at any height, from Harrowend strip at 16:40."
    assert verdict(sortie, None, best) == (
        f"{begins} The best chance is 4 in 10: Brackmoor, released at 0 km."
    )
    none = tuple(steps(field, 0.0) for field in demo.fields)
    assert verdict(sortie, None, none) == f"{begins} Every field has a chance of under 1 in 50."
    bandless = tuple(replace(field, steps=()) for field in demo.fields)
    assert verdict(sortie, None, bandless) == f"{begins} No field comes into reach."
    bare = replace(sortie, fields=())
    assert "no field is prepared, so there is nowhere to land" in verdict(bare, None, ())
