"""A ground test in the flight file: what it found shifts the margins, or asks for the fault."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.present.say.antennas import ground_test_lines
from farglide.radio.antenna.kinds import Patch, Yagi, even_beam_deg
from farglide.radio.ends.end import End, GroundTest
from farglide.radio.link import margin_db
from farglide.rig.links import LinkGear, antennas_of, gear_of

from ..conftest import Document


def told(gear: LinkGear) -> list[str]:
    return ground_test_lines(antennas_of(gear).tested)


PAIR = {"tested_m": 1000, "tested_margin_db": 14}


@pytest.fixture
def linked(document: Document) -> Callable[[dict[str, float]], Document]:
    """Return a function that adds a command link with more keys to a flight file."""

    def with_link(more: dict[str, float]) -> Document:
        link = {
            "name": "command", "purpose": "command", "frequency_mhz": 869.5, "bandwidth_khz": 100,
            "power_mw": 500, "sensitivity_dbm": -110,
        }  # fmt: skip
        return {**document, "parts": [], "links": [{**link, **more}]}

    return with_link


def test_what_it_found_shifts_every_margin(
    linked: Callable[[dict[str, float]], Document], read: Callable[[Document], FlightFile]
) -> None:
    (plain,) = read(linked({})).sortie.links
    bare = gear_of(plain).link
    # free space at 1 km and 869.5 MHz: 32.45 + 58.78 = 91.2 dB (P.525); 27.0 - 91.2 + 110 - 40
    assert margin_db(bare, 1e3, 40.0) == pytest.approx(5.8, abs=0.1)
    (spec,) = read(
        linked({"tested_km": 1, "tested_attenuator_db": 40, "tested_margin_db": 1.8})
    ).sortie.links
    assert (plain.spread_db, spec.spread_db) == (8.0, 3.0)
    gear = gear_of(spec)
    assert gear.link.offset_db == pytest.approx(-4.0, abs=0.1)
    assert margin_db(gear.link, 1e3, 40.0) == pytest.approx(1.8)
    assert margin_db(gear.link, 50e3) == pytest.approx(margin_db(bare, 50e3) - 4.0, abs=0.1)
    words = " ".join(told(gear))
    assert "at 1000 m behind 40 dB" in words
    assert "shifted by" in words
    assert told(gear_of(plain)) == []


def test_more_than_ten_decibels_off_asks_for_the_fault(demo_flight: FlightFile) -> None:
    command = demo_flight.sortie.links[1]
    test = GroundTest(distance_m=1000.0, attenuator_db=0.0, margin_db=20.0)
    lines = told(gear_of(replace(command, offset_db=0.0, tested=test)))
    words = " ".join(" ".join(lines).split())
    assert "find the fault" in words
    assert "shifted" not in words


def test_a_fault_that_takes_is_counted_and_one_that_gives_is_not(demo_flight: FlightFile) -> None:
    """Both leave the doubt of a budget on paper: a test that failed settles nothing."""
    command = replace(demo_flight.sortie.links[1], offset_db=0.0, spread_db=3.0)
    budget_db = margin_db(gear_of(command).link, 1e3)
    for off_db, counted_db, sd_db in ((-14.0, -14.0, 8.0), (9.0, 9.0, 3.0), (14.0, 0.0, 8.0)):
        test = GroundTest(distance_m=1e3, attenuator_db=0.0, margin_db=budget_db + off_db)
        gear = gear_of(replace(command, tested=test))
        assert gear.link.offset_db == pytest.approx(counted_db)
        assert gear.sd_db == pytest.approx(sd_db)
        words = " ".join(" ".join(told(gear)).split())
        assert f"{budget_db + off_db:+.1f}".replace("-", "−") in words
    assert "no margin counts on it" in words


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"tested_m": 1000}, "told by half"),
        ({"tested_margin_db": 14}, "told by half"),
        ({"tested_attenuator_db": 20}, "told by half"),
        ({**PAIR, "offset_db": -2}, "two answers to one question"),
        ({**PAIR, "tested_m": 0}, "allowed: 1 to 500000 m"),
        ({**PAIR, "tested_attenuator_db": -20}, "allowed: 0 to 120 dB"),
        ({**PAIR, "tested_margin_db": -60, "tested_attenuator_db": 0}, "offset_db"),
    ],
)
def test_half_a_test_or_two_answers_are_refused(
    linked: Callable[[dict[str, float]], Document],
    refusals: Callable[[Document], list[str]],
    more: dict[str, float],
    said: str,
) -> None:
    assert said in "\n".join(refusals(linked(more)))


@pytest.mark.parametrize(("typed_db", "counted_db", "sd_db"), [
    (9.0, 9.0, 3.0), (15.0, 0.0, 8.0), (-15.0, -15.0, 8.0),
])  # fmt: skip
def test_a_typed_offset_follows_the_same_rule(
    typed_db: float, counted_db: float, sd_db: float, demo_flight: FlightFile
) -> None:
    command = replace(demo_flight.sortie.links[1], offset_db=typed_db, spread_db=3.0)
    gear = gear_of(command)
    assert gear.link.offset_db == pytest.approx(counted_db)
    assert gear.sd_db == pytest.approx(sd_db)
    words = " ".join(" ".join(told(gear)).split())
    assert ("find the fault" in words) == (abs(typed_db) > 10.0)


def test_a_perfect_level_test_finds_nothing_off(demo_flight: FlightFile) -> None:
    """A patch below the glider has 15 dB less at the horizon, and the test is made level there."""
    picture = replace(
        demo_flight.sortie.links[0],
        offset_db=0.0,
        sender_end=End(
            antenna=Patch(level_deg=even_beam_deg(6.0), upright_deg=even_beam_deg(6.0)),
            pointing="down", aboard=True, gain_dbi=6.0, polarisation="linear level",
        ),
        receiver_end=End(
            antenna=Yagi(level_deg=even_beam_deg(12.0), upright_deg=even_beam_deg(12.0)),
            gain_dbi=12.0, aim_spread_deg=3.0, polarisation="linear level",
        ),
    )  # fmt: skip
    gear = gear_of(picture)
    crossed = gear.polarisation
    assert crossed is not None
    assert crossed.mean_db == pytest.approx(6.02, abs=0.01)  # over every roll
    level_db = float(gear.pattern[len(gear.pattern) // 2])
    assert level_db < -8.0
    aim = gear.receiver.aim
    assert aim is not None
    # held and aimed by the crew as well as can be
    found_db = margin_db(gear.link, 1e3) + level_db + crossed.mean_db + aim.mean_db
    test = GroundTest(distance_m=1e3, attenuator_db=0.0, margin_db=found_db)
    assert gear_of(replace(picture, tested=test)).link.offset_db == pytest.approx(0.0, abs=0.01)
