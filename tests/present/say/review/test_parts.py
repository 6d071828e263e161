"""Parts of a review: every number of it in words, few told as few, nothing made of nothing."""

from dataclasses import replace

from farglide.present.lines import part_lines
from farglide.present.say.review.parts import (
    change_part,
    change_sentences,
    choice_sentences,
    ended_sentence,
    honesty_part,
    next_part,
    promises_part,
    winds_part,
)

from ...sample_review import FLIGHT, NOTHING, REVIEW


def test_how_a_flight_went() -> None:
    told = ended_sentence(FLIGHT)
    assert told == (
        "Amber evening, Saturday 23 January 2027, launched 16:40: it was let go at 27.2 km above "
        "sea level, T+70; it came down on Harrowend strip."
    )
    unseen = replace(FLIGHT, ended="not seen", landed_at="", occurred=())
    assert ended_sentence(unseen).endswith("launched 16:40: it was never seen.")
    burst = replace(FLIGHT, ended="burst", landed_at="", occurred=())
    assert ended_sentence(burst).endswith("it burst.")


def test_promises_stand_in_100_columns() -> None:
    lines = part_lines(promises_part(FLIGHT))
    assert max(map(len, lines)) <= 100
    text = "\n".join(lines)
    for words in ("16:51 to 16:55", "16:52 (T+12)", "over 27.2 km", "up to 2.4 km", "outside"):
        assert words in text
    assert "5 in 10" in text


def test_next_values_stand_with_their_reasons_and_without_the_winds() -> None:
    lines = part_lines(next_part(REVIEW))
    text = "\n".join(lines)
    assert max(map(len, lines)) <= 100
    assert "0.926 ± 0.089" in text
    assert "as thought" in text
    assert "From seeing to the moving pin: nothing was marked: kept." in text
    assert "deep errors" not in text


def test_winds_have_signs_that_are_no_hyphens() -> None:
    text = "\n".join(part_lines(winds_part(FLIGHT)))
    assert "+9.1" in text or "+9.0" in text
    assert "−0.9" in text
    assert "off 1.7 times as far as told" in text
    bare = replace(FLIGHT, deep_ratio=None, shallow_ratio=None)
    assert "times as far" not in "\n".join(part_lines(winds_part(bare)))


def test_honesty_of_few_and_of_none() -> None:
    text = "\n".join(part_lines(honesty_part(REVIEW)))
    assert "10 chances of 1 flight. Brier score 0.010, the mean square of chance less" in text
    assert "Too few flights to confirm or refute anything." in " ".join(text.split())
    assert "0.72 to 1.00" in text
    none = "\n".join(part_lines(honesty_part(NOTHING)))
    assert "No chance was told of which anybody saw the outcome." in none


def test_the_best_change_is_one_sentence_with_a_number() -> None:
    first, second = change_sentences(REVIEW)
    assert first == (
        "100 g more neck lift raises the chance of Harrowend strip by 7 in 100, from 81 to 88."
    )
    assert second.startswith("The guess that moves it most is early bursts: 4 in 100")
    assert REVIEW.change is not None
    advised = replace(REVIEW, change=replace(REVIEW.change, advice="drive west", unknown=""))
    assert next(change_sentences(advised)).endswith("from 81 to 88; drive west.")
    none = replace(REVIEW, change=replace(REVIEW.change, what="", to_ratio=0.81, unknown=""))
    assert list(change_sentences(none)) == [
        "Nothing that was tried raises the chance of Harrowend strip, 8 in 10, by as much as 1 in "
        "100."
    ]
    assert "nothing can be compared" in "".join(map(str, change_part(NOTHING).facts))


def test_choices_are_judged_by_what_was_known() -> None:
    told = ["".join(fact) for fact in choice_sentences(FLIGHT)]
    assert told == [
        "The release was due by 17:51 and sent at 17:50, 88 s before that.",
        "Harrowend strip: 9 in 10 then. By what was known then the choice cost 7 in 100.",
    ]
    assert FLIGHT.choice is not None
    late = replace(FLIGHT.choice, sent_after_launch_s=4400.0, best_ratio=0.9)
    told = ["".join(fact) for fact in choice_sentences(replace(FLIGHT, choice=late))]
    assert "102 s after that." in told[0]
    assert "cost nothing of the chance" in told[1]
    freed = replace(late, sent_after_launch_s=None)
    told = ["".join(fact) for fact in choice_sentences(replace(FLIGHT, choice=freed))]
    assert told[0] == "The release was due by 17:51 and let go at 17:50, 84 s before that."
    early = replace(FLIGHT.choice, sent_after_launch_s=3500.0)
    told = ["".join(fact) for fact in choice_sentences(replace(FLIGHT, choice=early))]
    assert told[0].endswith(
        "13 min before that: too early, 10 min before the window opened (17:48)."
    )
    unsent = replace(freed, released_after_launch_s=None, chance_ratio=None)
    told = ["".join(fact) for fact in choice_sentences(replace(FLIGHT, choice=unsent))]
    assert told == ["The release was due by 17:51, as told first; none was sent."]
    assert not list(choice_sentences(replace(FLIGHT, choice=None)))
