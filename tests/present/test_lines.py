"""Parts as lines: heads, facts that wrap, tables by spaces, and nothing where there is nothing."""

from farglide.present.lines import WIDTH, blocks, fact_lines, part_lines, table_lines
from farglide.present.part import Cell, Column, Part, Strong, Table

COLUMNS = (
    Column("what", 12, prose=True),
    Column("height, km", 11),
    Column("UTC"),
    Column("place", -8, left=True, short="where"),
)


def test_a_head_alone_is_no_part() -> None:
    assert part_lines(Part(title="Notes")) == []
    empty = Table(columns=COLUMNS, rows=())
    assert part_lines(Part(title="Notes", table=empty)) == []
    facts = Part(title="On paper", head="Notes", facts=("one", ("two ", Strong("pieces"))))
    assert part_lines(facts) == ["Notes", "  one", "  two pieces"]
    assert blocks(*map(part_lines, [Part(title="Notes"), facts, facts]))[3:4] == [""]


def test_long_facts_stand_farther_in_on_their_next_lines() -> None:
    first, second = fact_lines(["word " * 25])
    assert first.startswith("  word")
    assert len(first) <= WIDTH
    assert second.startswith("    word")
    assert fact_lines(["word " * 25], 0)[1].startswith("word")


def test_tables_leave_out_cut_and_continue() -> None:
    rows = (("a long story to tell", "26.0", "09:40", "Harrowend"), ("b", Cell("1"), "", "c"))
    assert table_lines(Table(columns=COLUMNS, rows=rows)) == [
        "  what          height kmwhere",
        "  a long             26.0Harrowe",
        "    story to",
        "    tell",
        "  b                     1c",
    ]


def test_heads_over_a_rule_stand_without_rows_too() -> None:
    lines = table_lines(Table(columns=COLUMNS[:2], rows=(), rule=True, over="over"), 0)
    assert lines == ["over", "what          height km", "-" * WIDTH]


def test_two_stories_of_one_row_go_on_side_by_side() -> None:
    columns = (Column("what", 12, prose=True), Column("why", 20, prose=True))
    rows = (("3 Lakeside stubble", "picture lost on the way for a crew at Knoll"), ("4 Lee", "ok"))
    assert table_lines(Table(columns=columns, rows=rows), 0)[1:] == [
        "3 Lakeside  picture lost on the",
        "stubble     way for a crew at",
        "            Knoll",
        "4 Lee       ok",
    ]
