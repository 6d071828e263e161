"""Parts as HTML: escaped, with heads in their places, and bold where words are strong."""

from farglide.present.markup import body, fact_html, section
from farglide.present.part import Cell, Column, Part, Strong, Table

ROWS = (("<Knap>", Cell("9/10", small="34", mark="here")),)
TABLE = Table(columns=(Column("side"), Column("chance")), rows=ROWS)


def test_a_section_has_its_title_its_note_and_its_table() -> None:
    made = section(Part(title="A & B", note="km", table=TABLE, facts=("left out",), long=True), "x")
    assert made.startswith('<section id="x" class="long"><h2>A &amp; B<em>km</em></h2>')
    assert '<th scope="col" class="l">side</th><th scope="col">chance</th>' in made
    assert '<td class="l">&lt;Knap&gt;</td><td class="here">9/10<small>34</small></td>' in made
    assert "left out" not in made


def test_facts_are_sentences_beside_a_table_only_where_paper_asks_for_them() -> None:
    assert body(Part(title="A", facts=("one", ("two ", Strong("<b>"))))) == (
        "<ul><li>One.</li><li>Two <b>&lt;b&gt;</b>.</li></ul>"
    )
    assert body(Part(title="A", table=TABLE, paper=("said too!",))).endswith(
        "<ul><li>Said too!</li></ul>"
    )


def test_strong_words_at_the_start_stay_strong() -> None:
    assert fact_html((Strong("sun"), " bears 257°")) == "<b>Sun</b> bears 257°."


def test_rows_can_have_heads_and_columns_none() -> None:
    plain = Table(columns=(Column(""),) * 2, rows=(("FL", "100"),), row_heads=True, kind="calls")
    made = body(Part(title="Call", table=plain))
    assert '<table class="calls"><tbody><tr><th scope="row" class="l">FL</th><td>100</td>' in made


def test_a_part_without_rows_or_facts_is_not_printed() -> None:
    assert not Part(title="A", table=Table(columns=(), rows=()), facts=("terminal",)).is_printed
    assert not Part(facts=("no title",)).is_printed
    assert Part(title="A", table=TABLE).is_printed
