"""Advised: a document read back is the advice, to the digits that it is written with."""

import json
from dataclasses import replace

import pytest
from tests.live.advice import ADVICE, AFTER

from farglide.live.ride.advised import advice_read
from farglide.outlook.advice import Advice
from farglide.outlook.freshness import Freshness


@pytest.mark.parametrize(
    "advice", [ADVICE, replace(ADVICE, release=None, changed="x is shut"), *AFTER.values()]
)
def test_a_document_read_back_is_the_advice(advice: Advice) -> None:
    document = json.loads(json.dumps(advice.document()))
    found = advice_read(document)
    assert found.document() == document


def test_what_never_comes_is_read_as_such() -> None:
    found = advice_read(json.loads(json.dumps(ADVICE.document())))
    assert found.burst is not None
    assert found.burst.after_launch_s.p90 != found.burst.after_launch_s.p90  # never


LATER = ("stage", "stories", "needs", "after", "fill", "picture", "aims")
"""What logs of older versions do not hold: they end at the release, and hold less."""


@pytest.mark.parametrize("lacking", [one for one in ADVICE.document() if one not in LATER])
def test_a_document_that_lacks_a_key_is_refused(lacking: str) -> None:
    document = ADVICE.document()
    del document[lacking]
    with pytest.raises(ValueError, match="holds no advice"):
        advice_read(document)


def test_a_log_from_before_there_was_advice_after_the_release_is_read() -> None:
    """The place of a field is as fresh as the whole; of fill, picture and aims nothing is told."""
    document = {name: one for name, one in ADVICE.document().items() if name not in LATER}
    later = ("shuts_after_launch_s", "shuts_amsl_m", "arrival_agl_m", "data")
    document["fields"] = [
        {name: one for name, one in field.items() if name not in later}
        for field in document["fields"]
    ]
    del document["place"]["height_seen_after_launch_s"]
    del document["leak"]["floats_since_after_launch_s"]
    document["data"] = "ageing"
    fields = tuple(replace(one, data=Freshness.AGEING) for one in ADVICE.fields)
    found = advice_read(document)
    assert {one.data for one in found.fields} == {Freshness.AGEING}
    less = replace(ADVICE, data=Freshness.AGEING, fields=fields, fill=None, picture=None, aims=())
    assert ADVICE.place.height_seen_after_launch_s is None
    assert found.document() == less.document()


def test_a_strange_key_is_refused() -> None:
    with pytest.raises(ValueError, match="holds no advice"):
        advice_read(ADVICE.document() | {"place": {"lat": 1.0}})
