"""Tables of the rehearsals: counts by hand."""

from bench.rehearsals.__main__ import crew_rows, tables, true_rows
from bench.rehearsals.sorties import Flown, Tried

from farglide.live.rehearse.crew import CREWS
from farglide.outlook.rehearsal import Landing, Rehearsed, Score


def rehearsed(crew: str, came: bool, height_m: float, chance_ratio: float = 0.9) -> Rehearsed:
    score = Score(
        chance_ratio=chance_ratio, best_ratio=0.95, regret_ratio=0.05, due_after_launch_s=None,
        is_met=came,
    )  # fmt: skip
    return Rehearsed(
        surprises=(), seed=1, crew=crew, field="home", happened=(), came_home=came, how="",
        away_m=0.0, release_amsl_m=height_m, score=score,
        landing=Landing(field="home", away_m=0.0, is_on_field=came, in_hand_s=0.0, n_turns=0),
    )  # fmt: skip


def sortie(number: int, came: dict[str, bool], height_m: float = 25e3) -> Flown:
    told = {name: rehearsed(name, came.get(name, False), height_m) for name in CREWS}
    return Flown(number, f"day {number % 2}", told, [Tried(number, 0.9, came["advice"])])


FOUND = [
    sortie(1, {"advice": True, "plan": True}),
    sortie(2, {"advice": True, "plan": False}),
    sortie(3, {"advice": True, "plan": False}, height_m=12e3),
    sortie(4, {"advice": False, "plan": False}),
]


def test_each_crew_is_counted_and_the_gain_of_advice() -> None:
    rows = {row.split()[0]: row for row in crew_rows(FOUND)[1:]}
    assert list(rows) == list(CREWS)
    assert rows["advice"].split()[1] == "0.750"
    assert rows["plan"].split()[1] == "0.250"
    assert "+0.500 (" in rows["plan"]
    assert "  0.500 (" in rows["advice"]  # of them above 20 km
    assert rows["advice"].endswith("0.050  0.75")


def test_chances_told_are_counted_by_their_range() -> None:
    tried = [Tried(k, 0.1 * (k % 10), k % 10 > 4) for k in range(40)]
    rows = true_rows(tried)
    assert [row[:12] for row in rows[1:]] == [
        "0.00 to 0.20", "0.20 to 0.50", "0.50 to 0.80", "0.80 to 0.85", "0.85 to 0.95"
    ]  # fmt: skip
    assert rows[1].split()[3:6] == ["8", "8", "0.050"]
    assert rows[1].split()[6] == "0.000"
    assert rows[3].split()[6] == "1.000"


def test_all_of_it_says_how_many_were_flown() -> None:
    lines = tables(FOUND)
    assert lines[0] == "4 sorties."
    assert "all days: 4 sorties" in lines
    assert "day 1: 2 sorties" in lines
