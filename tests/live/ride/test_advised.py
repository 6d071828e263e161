"""Advised: a document read back is the advice, to the digits that it is written with."""

import json
from dataclasses import replace

import pytest
from tests.live.advice import ADVICE

from farglide.live.ride.advised import advice_read
from farglide.outlook.advice import Advice


@pytest.mark.parametrize("advice", [ADVICE, replace(ADVICE, release=None, changed="x is shut")])
def test_a_document_read_back_is_the_advice(advice: Advice) -> None:
    document = json.loads(json.dumps(advice.document()))
    found = advice_read(document)
    assert found.document() == document
    assert found.burst.after_launch_s.p90 != found.burst.after_launch_s.p90  # never


@pytest.mark.parametrize("lacking", list(ADVICE.document()))
def test_a_document_that_lacks_a_key_is_refused(lacking: str) -> None:
    document = ADVICE.document()
    del document[lacking]
    with pytest.raises(ValueError, match="holds no advice"):
        advice_read(document)


def test_a_strange_key_is_refused() -> None:
    with pytest.raises(ValueError, match="holds no advice"):
        advice_read(ADVICE.document() | {"place": {"lat": 1.0}})
