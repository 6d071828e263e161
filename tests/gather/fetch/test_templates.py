"""Templates of addresses: what may stand in them, and what becomes of it."""

import pytest

from farglide.gather.fetch.source import Kind
from farglide.gather.fetch.templates import fault_of, filled, names_in

WHOLE = "https://a.example/{date}/{hour}/f{step}"


def test_each_name_is_filled_in() -> None:
    values = {"date": "20270123", "hour": "06", "step": "003"}
    assert filled(WHOLE, values) == "https://a.example/20270123/06/f003"
    assert names_in(WHOLE) == ("date", "hour", "step")


@pytest.mark.parametrize(
    ("template", "told"),
    [
        ("https://a.example/{date}/{hour}/{step}/{member}", "names {member}"),
        ("https://a.example/{date}/{step}", "lacks {hour}"),
        ("ftp://a.example/{date}/{hour}/{step}", "neither http:// nor https://"),
        ("https:///{date}/{hour}/{step}", "neither http:// nor https://"),
        ("https://a.example/{date}/{hour}/{step", "a brace without its other"),
        ("https://a.example/{0.__class__}{date}/{hour}/{step}", "a brace without its other"),
        ("https://a.example/{date:>9999}/{hour}/{step}", "a brace without its other"),
        ("https://a b/{date}/{hour}/{step}", "without blanks"),
        ("https://a.example:port/{date}/{hour}/{step}", "no address that can be asked"),
        ("https://a.example/{date}/{hour}/{step}" + 2000 * "x", "1 to 2000 letters"),
    ],
)
def test_what_is_wrong_with_an_address_is_told(template: str, told: str) -> None:
    assert told in fault_of(template, Kind.WHOLE)


def test_members_are_named_where_there_are_any() -> None:
    assert fault_of(WHOLE, Kind.WHOLE) == ""
    assert fault_of(WHOLE, Kind.WHOLE, n_members=3) == "lacks {member}."
    assert fault_of(f"{WHOLE}/{{member}}", Kind.WHOLE, n_members=3) == ""
    assert fault_of("http://a.example/{lat_tile}{lon_tile}", Kind.TILES) == ""
