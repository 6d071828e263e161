"""The outlook as a document: the same values key for key, NaN as null, six decimals."""

import json
import math
from dataclasses import fields, replace

from farglide.outlook.outlook import Outlook


def test_the_document_has_every_key_and_is_json(demo: Outlook) -> None:
    document = demo.document()
    assert list(document) == [one.name for one in fields(Outlook)]
    assert json.loads(json.dumps(document, allow_nan=False)) == document
    assert document["fields"][0]["name"] == demo.fields[0].name
    assert document["release"]["window"]["to_amsl_m"] == round(
        demo.release.window.to_amsl_m if demo.release else math.nan, 6
    )


def test_what_is_no_number_is_null(demo: Outlook) -> None:
    first = replace(demo.fields[0].steps[0], spare_m=math.nan, reach_ratio=1.0 / 3.0)
    field = replace(demo.fields[0], steps=(first,))
    document = replace(demo, fields=(field,), gap_s=math.inf, wind_age_s=-math.inf).document()
    (step,) = document["fields"][0]["steps"]
    assert step["spare_m"] is None
    assert step["reach_ratio"] == 0.333333
    assert document["gap_s"] is None
    assert document["wind_age_s"] is None


def test_tuples_are_lists_and_words_and_counts_stay(demo: Outlook) -> None:
    document = replace(demo, gaps=((60.0, 120.0),), release=None).document()
    assert document["gaps"] == [[60.0, 120.0]]
    assert document["release"] is None
    assert document["cleared"] is demo.cleared
    assert document["n_draws"] == 100
    assert isinstance(document["n_draws"], int)
