"""The table of questions: each has its words, and a place in the docs."""

from pathlib import Path

from farglide.cli.questions import QUESTIONS

DOCS = Path(__file__).parents[2] / "docs" / "commands.rst"


def test_each_question_stands_in_the_docs() -> None:
    text = DOCS.read_text(encoding="utf-8")
    for name, one in QUESTIONS.items():
        assert f"``{name}``" in text
        assert one.about
        assert one.most_draws >= 200
