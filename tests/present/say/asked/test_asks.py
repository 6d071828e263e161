"""What to ask next: as it is typed on the command line, and in the ride, out of one mark."""

import ast
import re
from pathlib import Path

import pytest

from farglide.cli.questions import QUESTIONS
from farglide.present import say
from farglide.present.say.asked.asks import in_ride, on_command_line
from farglide.present.say.asked.reply import Reply, reply_lines

_MARKS = re.compile(r"<(?:[Aa]sk )?([^ <>]+)[^<>]*>")
_BARE = re.compile(rf"(?<!<)\b[Aa]sk ({'|'.join(QUESTIONS)})\b")
SOURCES = sorted(
    one
    for one in (*Path(say.__file__).parent.glob("cards*.py"),
                *(Path(say.__file__).parent / "asked").rglob("*.py"))
    if one.name not in ("asks.py", "landed.py")  # the last is of the command line alone
)  # fmt: skip


def said(path: Path) -> str:
    """Return all words that a source holds."""
    found = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    texts = (one.value for one in found if isinstance(one, ast.Constant))
    return "\n".join(one for one in texts if isinstance(one, str))


@pytest.mark.parametrize("path", SOURCES, ids=lambda one: one.stem)
def test_all_that_is_to_be_asked_is_marked_and_can_be_asked(path: Path) -> None:
    words = said(path)
    assert not _BARE.findall(words)
    assert not re.search(r"--[a-z]", words)
    assert set(_MARKS.findall(words)) <= set(QUESTIONS)


def test_some_is_marked() -> None:
    marked = {one for path in SOURCES for one in _MARKS.findall(said(path))}
    assert {"now", "park", "lost", "fault"} <= marked


def test_each_question_is_told_as_it_is_typed() -> None:
    for name in QUESTIONS:
        assert on_command_line(f"<Ask {name}>.") == f"Ask {name}."
        assert in_ride(f"<Ask {name}>.") == f"Type ? {name}."


def test_cards_and_grades_are_typed_otherwise() -> None:
    words = "Which fault? <Ask fault NAME>, or <fault N>."
    assert on_command_line(words) == "Which fault? Ask fault --card NAME, or fault --grade N."
    assert in_ride(words) == "Which fault? Type f NAME, or q N and then f."


def test_every_row_of_a_reply_is_told_so() -> None:
    reply = Reply("<Ask now>.", number="<Ask sun>.", until="A field opens: <ask now>.",
                  why="<Ask wait>, and <burst>.", change="A nearer stand: <ask park>.",
                  more=(("Then", "<Ask hand>, and say it twice."),))  # fmt: skip
    assert [line.split(maxsplit=1)[-1] for line in reply_lines(reply, in_ride)[1:]] == [
        "Type ? sun.", "A field opens: type ? now.", "Type ? wait, and ? burst.",
        "A nearer stand: type ? park.", "Type ? hand, and say it twice.",
    ]  # fmt: skip
    assert "<" not in "".join(reply_lines(reply))
