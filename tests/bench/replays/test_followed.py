"""Falls and climbs that are not heard for a time: tables that say how often they came inside."""

from bench.replays.carried import carried_rows
from bench.replays.followed import Blind, followed_rows

from bench.replays import carried


def test_the_table_of_falls_tells_medians_and_shares() -> None:
    found = [
        Blind("one", 60.0, rank, 400.0, 100.0 * k, -50.0 * k, 60.0, 12.0)
        for k, rank in enumerate((0.1, 0.6, 0.95))
    ]
    *_, row = followed_rows(found)
    told = ["1", "min", "3", "100", "m", "400", "m", "0.33", "0.67", "0.67"]
    assert row.split() == told
    assert followed_rows(found)[0].startswith("1 real falls")


def test_the_table_of_climbs_tells_who_is_near() -> None:
    found = [
        carried.Blind(5_000.0, seconds, rank, 900.0, miss, 10.0, 60.0)
        for seconds in carried.BLIND_S
        for rank, miss in ((0.2, 500.0), (0.95, 2_500.0))
    ]
    row = carried_rows(found)[-2]
    assert row.split() == ["5", "min", "2", "1500", "m", "900", "m", "0.50", "0.50", "1.00", "0.50"]
