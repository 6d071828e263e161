"""What cannot hold together in a flight file is refused, once, where it stands."""

from collections.abc import Callable
from datetime import date, datetime
from typing import Any

import pytest

from farglide.flightfile.crosscheck import sphere_km

NAIVE = datetime.fromisoformat("2027-07-01T09:30:00")
Document = dict[str, Any]
Put = Callable[[Document, str, Document], Document]
Refusals = Callable[[Document], list[str]]


@pytest.mark.parametrize(
    ("section", "keys", "where", "word"),
    [
        ("launch", {"lat_deg": 0, "lon_deg": 0}, "[launch]", "no launch place"),
        ("balloon", {"neck_lift_kg": 0.8}, "[balloon] neck_lift_kg", "will not climb"),
        ("balloon", {"burst_diameter_m": 1.5}, "[balloon] burst_diameter", "1.74 m wide"),
        (
            "balloon", {"mean_ascent_mps": 5, "burst_height_amsl_m": 30000},
            "[balloon] neck_lift", "one too many",
        ),
        (
            "balloon", {"drag_table": [[1e5, 0.6], [2e5, 0.5]], "drag_coefficient": 0.3},
            "drag_coefficient", "twice",
        ),
        ("balloon", {"gas": "methane"}, "[balloon] gas", '"helium" or "hydrogen"'),
        ("balloon", {"gas": "Helum"}, "[balloon] gas", 'Did you mean "helium"?'),
        ("balloon", {"gas": None}, "[balloon] gas", "is missing"),
        ("glider", {"zero_lift_drag": 0.3, "aspect_ratio": 4.2, "span_efficiency_ratio": 0.3},
         "[glider] zero_lift_drag", "best glide ratio of 1.8"),
        ("glider", {"zero_lift_drag": 0.005, "aspect_ratio": 40, "chord_m": 0.0612372},
         "[glider] zero_lift_drag", "best glide ratio of 70.0"),
        ("glider", {"top_eas_mps": 13.2, "lift_max": 0.57}, "[glider] top_eas", "at 11.3 m/s"),
        ("glider", {"stall_eas_mps": 9.2}, "[glider] lift_max and stall_eas", "twice"),
        ("glider", {"lift_max": None, "stall_eas_mps": 30}, "[glider] stall_eas", "0.08"),
        ("glider", {"chord_m": 0.3}, "[glider] aspect_ratio", "area / chord² gives 1.667"),
        ("glider", {"span_m": 2.0}, "[glider] area", "span × chord gives 0.34 m²"),
        ("glider", {"area_m2": 2.5, "chord_m": 0.69}, "[glider] mass", "loading of 0.272"),
        ("drop", {"pull_eas_mps": 8}, "[drop] pull_eas", "below the stall"),
        ("drop", {"pull_eas_mps": 40}, "[drop] pull_eas", "above top_eas"),
        ("fields", {"name": "harrowend STRIP"}, "[[fields]]", "stands 2 times"),
        ("fields", {"name": " Harrowend  Strip"}, "[[fields]]", "stands 2 times"),
        ("fields", {"name": " "}, "[[fields]] 4 name", "is empty. Write name = "),
        ("fields", {"lat_deg": -46.5, "lon_deg": 108.0}, "[[fields]] 4", 'where "Harrowend strip"'),
        ("launch", {"name": ""}, "[launch] name", "is empty"),
        ("fields", {"lon_deg": -108.6}, "[[fields]] 4", "Is the sign of lon_deg right?"),
        ("fields", {"lat_deg": 46.8}, "[[fields]] 4", "Is the sign of lat_deg right?"),
        ("fields", {"lat_deg": 10, "lon_deg": 10}, "[[fields]] 4", "Check the signs of both"),
        ("packs", {"on_after_launch_min": -300}, "[[packs]] 1", "min before the launch"),
        ("wish", {"doubtful_ratio": 0.95}, "[wish] doubtful_ratio", "not below open_ratio"),
        ("wish", {"doubtful_ratio": None, "doubtful_percent": 95}, "[wish] doubtful_percent",
         "is 95 %, not below open_ratio"),
        ("wish", {"enough_ratio": None, "enough_percent": 30}, "[wish] enough_percent",
         "is 30 %, a chance that is not"),
        ("wish", {"enough_ratio": None, "enough_percent": 60, "least_percent": 70},
         "[wish] least_percent",
         "is 70 %, more than enough_percent. Allowed: 60 % (enough_percent) or less."),
        ("balloon", {"neck_lift_kg": None, "neck_lift_g": 800}, "[balloon] neck_lift_g",
         "is 800 g, but 0.820 kg hang below"),
        ("wish", {"wanted_amsl_m": 100}, "[wish] wanted_amsl_m", "below the launch"),
        ("flight", {"launch_at": None}, "[flight] launch_at", "is missing"),
        ("flight", {"launch_at": "16:40"}, "[flight] launch_at", "not a date with a time"),
        ("flight", {"launch_at": "2027-01-23 16:40+07:00"}, "[flight] launch_at",
         "Write it without quotes: launch_at = 2027-01-23T16:40:00+07:00"),
        ("flight", {"launch_at": "23.1.2027 16:40"}, "[flight] launch_at",
         "time with seconds, and offset, without quotes: launch_at = 2027-01-23T16:40:00+07:00"),
        ("flight", {"launch_at": date(2027, 1, 23)}, "[flight] launch_at", "time with seconds"),
        ("flight", {"launch_at": NAIVE, "zone": "Europe/Vienna"},
         "[flight] launch_at", "In Europe/Vienna that is launch_at = 2027-07-01T09:30:00+02:00"),
        ("flight", {"launch_at": NAIVE, "zone": None},
         "[flight] launch_at", "Add Z for UTC or the offset of your clock"),
        ("flight", {"zone": "Mars/Base"}, "[flight] zone", "allowed: an IANA name"),
        ("flight", {"name": 7}, "[flight] name", "not a text"),
        ("flight", {"name": "a\x1b[31mb"}, "[flight] name", "one line"),
        ("wind", {"file": None}, "[wind] file", "is missing"),
        ("permissions", {"land": "granted"}, "[permissions] land", '"held" or "asked"'),
        ("permissions", {"landing": "held"}, "[permissions] landing", "Did you mean land?"),
        ("crew", {"n_releases": -1}, "[crew] n_releases", "a whole number"),
        ("crew", {"n_releases": 2.5}, "[crew] n_releases", "a whole number"),
        ("crew", {"n_release_failures": 21}, "[crew] n_release_failures", "more than"),
        ("balloon", {"guesses": "burst"}, "[balloon] guesses", "not a list"),
        ("balloon", {"guesses": ["burst_diamter"]}, "guesses", 'mean "burst_diameter"?'),
        ("balloon", {"guesses": ["mean_ascent"]}, "guesses", "which is not stated"),
        ("balloon", {"guesses": ["burst_diameter"]}, "typical", "stands in guesses too"),
        ("", {"baloon": {}}, "[baloon]", "Did you mean balloon?"),
        ("", {"xyzzy": 1}, "[xyzzy]", "Sections: flight, launch"),
        ("", {"drop": 3}, "[drop]", "is not a section"),
        ("", {"fields": {"name": "a"}}, "[[fields]]", "double brackets"),
    ],
)  # fmt: skip
def test_contradiction_is_refused_once(
    section: str, keys: Document, where: str, word: str, document: Document, put: Put,
    refusals: Refusals,
) -> None:  # fmt: skip
    found = refusals(put(document, section, keys) if section else {**document, **keys})
    assert len(found) == 1, found
    assert where in found[0]
    assert word in found[0]


@pytest.mark.parametrize(
    ("table", "word"),
    [
        (5, "not a list of pairs"),
        ([], "not a list of pairs"),
        ([[1e5]], "not two numbers"),
        ([[1e5, True]], "not two numbers"),
        ([[1e5, 7.0]], "C_d 0.05 to 2"),
        ([[2e5, 0.5], [1e5, 0.6]], "do not rise"),
    ],
)
def test_drag_table_of_another_shape_is_refused(
    table: object, word: str, document: Document, put: Put, refusals: Refusals
) -> None:
    keys = {"drag_coefficient": None, "typical": None, "drag_table": table}
    (found,) = refusals(put(document, "balloon", keys))
    assert word in found


def test_burst_height_below_the_launch_is_refused(
    document: Document, put: Put, refusals: Refusals
) -> None:
    keys = {"neck_lift_kg": None, "neck_lift_spread_kg": None, "burst_height_amsl_m": 2500}
    put(document, "launch", {"amsl_m": 1800})
    (found,) = refusals(put(document, "balloon", keys))
    assert "less than 1000 m above the launch" in found


def test_all_problems_come_in_one_go(document: Document, put: Put, refusals: Refusals) -> None:
    put(document, "balloon", {"neck_lift_kg": 1600})
    put(document, "glider", {"mass_kg": "0,68"})
    put(document, "launch", {"lat_deg": 0, "lon_deg": 0})
    put(document, "fields", {"lon": 3})
    put(document, "crew", {"n_pullouts": True})
    assert len(refusals(document)) == 5


def test_distance_is_that_of_a_sphere() -> None:
    # A quarter of the mean meridian, pi/2 x 6371.0088 km, by hand
    assert sphere_km((0.0, 20.0), (90.0, 20.0)) == pytest.approx(10_007.557, abs=0.01)
    assert sphere_km((10.0, 179.5), (10.0, -179.5)) == pytest.approx(109.505, abs=0.01)
