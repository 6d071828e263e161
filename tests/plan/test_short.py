"""What a chance is short of is named where it is short, and a field with as much or more."""

from dataclasses import replace

from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.outlook import Outlook
from farglide.plan.why import Cover, why
from farglide.sortie.spec import Sortie

from ..present.sample_outlook import with_links
from .conftest import steps


def test_what_holds_the_chance_down_is_named(
    sortie: Sortie, demo: Outlook, demo_flight: FlightFile
) -> None:
    assert demo.release is not None
    cover, car = Cover((), 7200.0, "the burst", None, 40e3), with_links().car
    assert car is not None
    low = replace(demo.release, chance_ratio=0.59, is_enough=False)
    weak = replace(car, holds_ratio=(("command", 0.98), ("picture", 0.6)))
    stand = f"from {car.stand}, the best stand"
    held = f"What holds it down: {stand}, the picture lasts to the field in 6 in 10 only."
    assert held in why(sortie, low, demo.fields, cover, weak)
    alone = replace(sortie, stands=demo_flight.sortie.stands[:1])
    assert "the only stand" in why(alone, low, demo.fields, cover, weak)
    # links that hold are not what is short, nor is anything where the chance is enough
    strong = replace(car, holds_ratio=(("command", 0.98), ("picture", 0.97)))
    assert "What holds it down" not in why(sortie, low, demo.fields, cover, strong)
    enough = replace(low, is_enough=True)
    assert "What holds it down" not in why(sortie, enough, demo.fields, cover, weak)
    # else the reason of the heights it is released at
    home = demo.fields[0]
    doubtful = tuple(replace(one, state="doubtful", reason="too slow") for one in home.bands)
    slow = (replace(home, bands=doubtful), *demo.fields[1:])
    assert "What holds it down: too slow." in why(sortie, low, slow, cover, strong)


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
    assert "Flying to Brackmoor instead, released at 32.2 km: 19 in 20." in told(0.5, 0.95)
    assert "Brackmoor instead" not in told(0.5, 0.82)
    assert "Flying to Harrowend strip instead, released at 32.2 km: 7 in 10." in told(0.71, 0.5)
    assert "Harrowend strip instead" not in told(0.69, 0.5)
    both = told(0.71, 0.95)
    assert both.index("Brackmoor instead") < both.index("Harrowend strip instead")
    # a home that reads the same is said to have as much, and why it is not the one that is named
    assert (
        "Home has as much, 8 in 10 released at 32.2 km: Tansy Lea is ahead by under 1 in 50."
        in told(0.79, 0.5)
    )
    assert "Tansy Lea is ahead by 1 in 20 at most." in told(0.76, 0.5)
