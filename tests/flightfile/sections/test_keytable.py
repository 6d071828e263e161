"""The table of sections: each of them once, each key of a section once."""

from farglide.flightfile.flightfile import EVERY, SECTIONS


def test_every_section_stands_once() -> None:
    names = [section.name for section in EVERY]
    assert len(set(names)) == len(names)
    assert list(SECTIONS) == names


def test_no_two_numbers_of_a_section_share_a_key() -> None:
    for section in EVERY:
        keys = [key for row in section.rows for key in (*row.keys, *row.spread_keys)]
        assert len(set(keys)) == len(keys), section.name
        assert not set(keys) & set(section.words), section.name


def test_defaults_lie_within_their_ranges() -> None:
    for section in EVERY:
        for row in section.rows:
            assert row.low < row.high
            assert row.default is None or row.low <= row.default <= row.high, row.key
