"""Stand-ins for what a flight file leaves out, and what the reading says of them."""

import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from farglide.flightfile.reading.keys import Numbers, Stated
from farglide.flightfile.standins import (
    DRAG_TABLE,
    burst_diameter_m,
    fill_grounds,
    worst,
)
from farglide.sortie.known import Tag

from ..conftest import glides, least, timed


def test_five_numbers_make_a_flight_and_the_rest_is_tagged(tmp_path: Path) -> None:
    flight = least(tmp_path)
    sortie, tags = flight.sortie, flight.sortie.tags
    assert sortie.name == "least"
    assert sortie.launch.zone == "UTC"
    assert sortie.fields == ()
    assert sortie.packs == ()
    assert sortie.wind is None
    assert [state for _, state in sortie.permissions] == ["missing"] * 5
    assert tags["balloon.mass_kg"] is Tag.MEASURED
    for key in ("balloon.burst_diameter_m", "glider.area_m2", "glider.zero_lift_drag"):
        assert tags[key] is Tag.GUESS
    assert sortie.glider.flown_ratio == 0.85
    words = " ".join(flight.notes)
    for word in ("No field", "No pack", "No top airspeed", "No fill", "No release"):
        assert word in words
    assert "No winds" in flight.wind_note


def test_unknown_fill_climbs_as_usual_until_it_is_solved(tmp_path: Path) -> None:
    flight = least(tmp_path)
    assert not flight.neck_lift_given
    assert flight.stated_mean_ascent_mps == 5.5  # common practice, no source: 5 to 6 m/s
    assert flight.stated_burst_amsl_m is None
    assert flight.sortie.tags["balloon.mean_ascent_mps"] is Tag.GUESS
    assert flight.sortie.balloon.neck_lift_kg.value > flight.sortie.hanging_kg


def test_stated_burst_height_stands_for_the_fill(tmp_path: Path) -> None:
    flight = least(tmp_path, balloon="burst_height_amsl_ft = 98425.2")
    assert flight.stated_burst_amsl_m == pytest.approx(30_000.0, abs=0.1)
    assert flight.stated_mean_ascent_mps is None


def test_burst_diameter_guess_is_wide_and_grows_with_the_root_of_the_mass(tmp_path: Path) -> None:
    known = least(tmp_path).sortie.balloon.burst_diameter_m
    assert known.tag is Tag.GUESS
    assert known.spread_ratio == pytest.approx(0.15)
    assert burst_diameter_m(4.0) == pytest.approx(2.0 * burst_diameter_m(1.0))
    # A 1.5 kg balloon reaching 34 km implies 9.2 m within 10 %: derived from a table of WMO-No. 8
    # (from memory) and the 1976 standard atmosphere.
    assert burst_diameter_m(1.5) == pytest.approx(9.2, rel=0.10)


def test_stated_spread_keeps_its_share_of_a_guess(tmp_path: Path) -> None:
    known = least(tmp_path, balloon="burst_diameter_spread_percent = 20").sortie.balloon
    assert known.burst_diameter_m.spread_ratio == pytest.approx(0.20)
    assert known.burst_diameter_m.tag is Tag.GUESS


@pytest.mark.parametrize(("word", "tag"), [("guesses", Tag.GUESS), ("typical", Tag.TYPICAL)])
@pytest.mark.parametrize("name", ["burst_diameter", "burst_diameter_m", "burst_diameter_cm"])
def test_origin_is_taken_from_the_lists(name: str, word: str, tag: Tag, tmp_path: Path) -> None:
    known = least(tmp_path, balloon=f'burst_diameter_m = 7.0\n{word} = ["{name}"]').sortie.balloon
    assert known.burst_diameter_m.value == 7.0
    assert known.burst_diameter_m.tag is tag
    wider = {Tag.TYPICAL: 0.10, Tag.GUESS: 0.15}[tag]
    assert known.burst_diameter_m.spread_ratio == pytest.approx(wider)


# (Re, C_d, of what is published how far apart). Sources: B. Schmidt 1938, Archiv der Deutschen
# Seewarte 58 no. 4 p. 5, six tables of one pilot balloon; a German textbook of aerology, section
# 24; Findeisen 1940, Annalen der Hydrographie 68 p. 277; a maker's table and WMO-No. 8 (from
# memory), 200 to 3000 g. C_d worked out from the lift and the speed.
PUBLISHED = (
    (4.9e4, 1.08, 0.2), (1.1e5, 0.80, 0.1), (1.6e5, 0.66, 0.1), (1.8e5, 0.59, 0.1),
    (2.5e5, 0.48, 0.07), (4.3e5, 0.30, 0.06), (6.5e5, 0.30, 0.05), (7.7e5, 0.265, 0.05),
)  # fmt: skip


@pytest.mark.parametrize(("reynolds", "drag", "apart"), PUBLISHED)
def test_drag_curve_is_that_of_published_climbs(reynolds: float, drag: float, apart: float) -> None:
    points, drags = zip(*DRAG_TABLE, strict=True)
    here = float(np.interp(math.log(reynolds), np.log(points), drags))
    assert here == pytest.approx(drag, abs=apart)


def test_drag_is_the_usual_curve_a_constant_or_a_table(tmp_path: Path) -> None:
    usual = least(tmp_path).sortie
    assert usual.balloon.drag_table == DRAG_TABLE
    assert usual.balloon.drag_factor.sd == pytest.approx(0.15)
    assert usual.tags["balloon.drag_table"] is Tag.TYPICAL
    constant = least(tmp_path, balloon="drag_coefficient = 0.3").sortie
    assert {drag for _, drag in constant.balloon.drag_table} == {0.3}
    assert constant.balloon.drag_factor.tag is Tag.MEASURED
    table = least(tmp_path, balloon="drag_table = [[100000, 0.6], [500000, 0.3]]").sortie
    assert table.balloon.drag_table == ((1.0e5, 0.6), (5.0e5, 0.3))


def test_one_drag_for_the_whole_climb_is_taken_with_a_word(tmp_path: Path) -> None:
    notes = " ".join(least(tmp_path, balloon="drag_coefficient = 0.3").notes)
    assert "it drifts too far downwind" in notes
    for other in ("", "drag_table = [[100000, 0.6], [500000, 0.3]]"):
        assert "too far downwind" not in " ".join(least(tmp_path, balloon=other).notes)


# Balloon g, bursting diameter m. Sources: a maker's table, as reproduced on a public guide page;
# the diameters that the heights of WMO-No. 8's typical performance (from memory) imply: fill times
# the cube root of the densities, US Standard Atmosphere 1976.
BURSTS = (
    (200, 3.00), (350, 4.12), (600, 6.02), (1000, 7.86), (1500, 9.44), (3000, 13.00),
    (200, 3.03), (600, 6.0), (1000, 8.0), (3000, 12.8),
)  # fmt: skip


@pytest.mark.parametrize(("mass_g", "diameter_m"), BURSTS)
def test_published_bursting_diameters_lie_within_the_doubt(
    mass_g: float, diameter_m: float
) -> None:
    assert burst_diameter_m(mass_g / 1e3) == pytest.approx(diameter_m, rel=0.15)


def test_unusual_drag_is_noted(tmp_path: Path) -> None:
    notes = least(tmp_path, balloon="drag_coefficient = 0.95").notes
    assert any("A drag coefficient of 0.95 is unusual" in note for note in notes)


WINGS: list[tuple[str, float, float, float]] = [
    # stated; area, chord, aspect ratio: area = span x chord, aspect ratio = span^2 / area
    ("span_m = 0.9\nchord_cm = 15", 0.135, 0.15, 6.0),
    ("area_m2 = 0.135\nspan_m = 0.9", 0.135, 0.15, 6.0),
    ("area_m2 = 0.135\nchord_m = 0.15", 0.135, 0.15, 6.0),
    ("area_m2 = 0.135\naspect_ratio = 6", 0.135, 0.15, 6.0),
    ("span_m = 0.9\naspect_ratio = 6", 0.135, 0.15, 6.0),
    ("chord_m = 0.15\naspect_ratio = 6", 0.135, 0.15, 6.0),
    ("span_m = 0.9", 0.162, 0.18, 5.0),
    ("chord_m = 0.18", 0.162, 0.18, 5.0),
    ("", 0.68 / 4.5, math.sqrt(0.68 / 4.5 / 5.0), 5.0),
]


@pytest.mark.parametrize(("stated", "area_m2", "chord_m", "aspect_ratio"), WINGS)
def test_wing_follows_from_what_is_measured(
    stated: str, area_m2: float, chord_m: float, aspect_ratio: float, tmp_path: Path
) -> None:
    flight = least(tmp_path, glider=stated)
    glider = flight.sortie.glider
    assert glider.area_m2 == pytest.approx(area_m2)
    assert glider.chord_m == pytest.approx(chord_m)
    assert glider.aspect_ratio == pytest.approx(aspect_ratio)
    two_stated = stated.count("=") == 2
    origin = Tag.MEASURED if two_stated else Tag.GUESS
    assert flight.sortie.tags["glider.aspect_ratio"] is origin


def test_stall_speed_gives_the_greatest_lift(tmp_path: Path) -> None:
    stated = "area_m2 = 0.15\naspect_ratio = 5.2\nstall_eas_mps = 9.2"
    lift = least(tmp_path, glider=stated).sortie.glider.lift_max
    # 2 x 0.68 x 9.80665 / (1.225 x 0.15 x 9.2^2), by hand
    assert lift == pytest.approx(0.8575, abs=0.0005)


def test_polar_guess_is_wider_than_a_measured_one(tmp_path: Path) -> None:
    guessed = least(tmp_path).sortie.glider.glide_factor
    assert guessed.tag is Tag.GUESS
    assert guessed.sd == pytest.approx(0.25)
    stated = "area_m2 = 0.15\nspan_m = 0.88\nzero_lift_drag = 0.034\nspan_efficiency_ratio = 0.78"
    measured = least(tmp_path, glider=stated).sortie.glider.glide_factor
    assert measured.tag is Tag.MEASURED
    assert measured.sd == pytest.approx(0.10)


def test_without_top_speed_the_fastest_is_best_glide(tmp_path: Path) -> None:
    stated = (
        "area_m2 = 0.15\nchord_m = 0.17\naspect_ratio = 5.2\nzero_lift_drag = 0.034\n"
        "span_efficiency_ratio = 0.78\nlift_max = 2.0"
    )
    flight = least(tmp_path, glider=stated)
    top_mps = flight.sortie.glider.top_eas_mps
    # Found by trying every speed from 6 to 16 m/s in steps of 1 mm/s: the least drag.
    weight_n, k = 0.68 * 9.80665, 1.0 / (math.pi * 5.2 * 0.78)

    def drag_n(speed_mps: float) -> float:
        force_n = 0.5 * 1.225 * speed_mps**2 * 0.15
        reynolds = speed_mps * 0.17 / 1.4607e-5
        zero_lift = 0.034 * math.pow(2.0e5 / reynolds, 0.4)
        return force_n * (zero_lift + k * (weight_n / force_n) ** 2)

    best = min((6.0 + 0.001 * i for i in range(10_000)), key=drag_n)
    assert top_mps == pytest.approx(best, abs=0.002)


def test_ground_heights_stand_in_for_each_other(tmp_path: Path) -> None:
    fields = "".join(
        f"[[fields]]\nlat_deg = -46.5\nlon_deg = 108.{i}\n{amsl}\n"
        for i, amsl in enumerate(("amsl_m = 200", "amsl_m = 300", ""))
    )
    flight = least(tmp_path, glider=fields)
    assert flight.sortie.launch.amsl_m == 250.0
    assert [field.amsl_m for field in flight.sortie.fields] == [200.0, 300.0, 250.0]
    assert [field.name for field in flight.sortie.fields] == ["field 1", "field 2", "field 3"]
    assert flight.sortie.tags["fields[field 3].amsl_m"] is Tag.GUESS
    assert least(tmp_path).sortie.launch.amsl_m == 0.0


# --- timed glides --------------------------------------------------------------------------------


GLIDE: dict[str, Any] = {"rows": (timed(9.0), timed(12.0), timed(16.0))}


@pytest.mark.parametrize(
    ("stated", "word"),
    [
        (glides(*GLIDE["rows"][:2]), "are 2; allowed: three or more"),
        ("zero_lift_drag = 0.03\n" + glides(*GLIDE["rows"]), "say the same thing twice"),
        (
            glides(*GLIDE["rows"], "from_agl_m = 60\nduration_s = 40"),
            "the distance or the airspeed",
        ),
        (glides(*GLIDE["rows"], timed(9.0) + "\ndistance_m = 500"), "the distance or the airspeed"),
        (
            glides(*GLIDE["rows"], "from_agl_m = 60\nduration_s = 40\ndistance_km = 50"),
            "makes 833.3 m of way",
        ),
        (glides(*GLIDE["rows"], "duration_s = 40\ndistance_m = 500"), "from_agl_m: is missing"),
    ],
)
def test_timed_glides_that_tell_no_polar_are_refused(
    stated: str, word: str, tmp_path: Path
) -> None:
    with pytest.raises(Exception, match=word) as caught:
        least(tmp_path, glider=stated)
    assert type(caught.value).__name__ == "FlightFileError"


def test_ground_heights_follow_from_each_other() -> None:
    def at(amsl_m: float, given: bool) -> Numbers:
        return {"amsl_m": Stated(value=amsl_m, sd=0.0, tag=Tag.MEASURED, given=given)}

    launch, fields, stand = at(math.nan, False), [at(200.0, True), at(300.0, True)], at(0.0, False)
    fields.append(at(math.nan, True))  # refused
    fill_grounds(launch, fields, [stand])
    assert launch["amsl_m"].value == stand["amsl_m"].value == 250.0
    assert launch["amsl_m"].tag is Tag.GUESS
    assert [one["amsl_m"].value for one in fields[:2]] == [200.0, 300.0]
    bare = at(math.nan, False)
    fill_grounds(bare, [], [])
    assert bare["amsl_m"].value == 0.0


def test_the_least_trusted_origin_counts() -> None:
    assert worst(Tag.MEASURED, Tag.GUESS, Tag.TYPICAL) is Tag.GUESS
    assert worst(Tag.MEASURED) is Tag.MEASURED
