"""Codecs: every format that a flight file may state has one."""

import pytest

from farglide.sortie.feeds import FORMATS
from farglide.track.codecs.codecs import codec_of

from .feeding import raw, spec

COLUMNS = {"csv": ("1=lat_deg", "2=lon_deg"), "json": ("a=lat_deg", "b=lon_deg")}


@pytest.mark.parametrize("form", FORMATS)
def test_every_format_has_a_codec_that_bears_noise(form: str) -> None:
    codec = codec_of(spec(form, columns=COLUMNS.get(form, ())))  # type: ignore[arg-type]
    noise = bytes(range(256)) * 40
    assert codec.take(raw(noise)) == []
    assert codec.flush() == []
    assert codec.tally.n_bytes == len(noise)
    assert codec.tally.n_unread > 0
