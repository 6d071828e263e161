"""Lines of a review: the summary, and lines for the next flight file that read as TOML."""

import tomllib
from dataclasses import replace

from farglide.present.say.review.lines import next_file, review_lines

from ...sample_review import DRAG, EXACT, KEPT, LINK, NOTHING, REVIEW, WIDE


def test_the_summary_holds_every_part_in_100_columns() -> None:
    lines = review_lines(REVIEW)
    assert max(map(len, lines)) <= 100
    text = "\n".join(lines)
    for words in ("it was let go at 27.2 km", "/somewhere/ride.log; marked", "What was promised",
                  "The winds", "The release was due by", "What to believe next time",
                  "How true the chances were", "What would have bought most",
                  "Left out: other.log", "The log is unfinished"):  # fmt: skip
        assert words in text
    assert "\n\n\n" not in text


def test_two_flights_stand_one_after_the_other() -> None:
    two = replace(REVIEW, flights=(REVIEW.flights[0], REVIEW.flights[0]))
    assert "\n".join(review_lines(two)).count("What was promised") == 2


def test_lines_of_the_next_file_read_as_toml_with_value_and_spread() -> None:
    text = next_file(REVIEW)
    read = tomllib.loads(text)
    assert read == {
        "balloon": {
            "drag_factor": 0.926, "burst_diameter_m": 7.06, "burst_diameter_spread_ratio": 0.058,
        },
        "doubt": {"ascent_ratio": 0.048},
        "links": [{"name": "picture", "offset_db": -0.91, "spread_db": 1.1}],
    }  # fmt: skip
    assert "drag_factor = 0.926   # box of May: thought 1 ± 0.1, 1 flight" in text
    assert "1 flight, 1 of them one-sided" in text
    assert "# crew.reaction_s of the crew: nothing was marked: kept" in text
    assert "# packs[all].cold_ratio of pack all: the flight file takes it as exact" in text
    assert "n_flights + 1, n_early_bursts + 0" in text
    assert "1.22 times the deep doubt is taken over" in text


def test_names_cannot_break_out_of_a_remark_or_a_text() -> None:
    evil = 'x"\n[glider]\nmass_kg = 99'
    link = replace(LINK, key=f"links[{evil}].offset_db", spread_key=f"links[{evil}].spread_db")
    odd = replace(REVIEW, learned=(replace(DRAG, gear=evil), link, replace(KEPT, gear=evil)))
    read = tomllib.loads(next_file(odd))
    assert set(read) == {"balloon", "doubt", "links"}
    assert read["links"][0]["name"] == evil


def test_of_two_batches_the_newest_is_offered() -> None:
    newer = replace(DRAG, gear="box of June", use=1.11)
    read = tomllib.loads(next_file(replace(REVIEW, learned=(DRAG, newer, WIDE))))
    assert read["balloon"]["drag_factor"] == 1.11


def test_nothing_learnt_is_a_file_of_remarks() -> None:
    assert tomllib.loads(next_file(NOTHING)) == {}
    assert tomllib.loads(next_file(replace(NOTHING, learned=(EXACT,)))) == {}


def test_nothing_of_a_rehearsal_is_for_the_flight_file() -> None:
    made_up = replace(REVIEW.flights[0], is_rehearsed=True)
    text = next_file(replace(REVIEW, flights=(made_up, REVIEW.flights[0])))
    assert text.startswith("# A REHEARSAL stands behind this.")
    assert tomllib.loads(text) == {}
    assert "# drag_factor = 0.926" in text
