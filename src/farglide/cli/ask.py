"""farglide new --ask: a few questions, in a terminal or from a pipe, that make a flight file."""

import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from farglide.cli.new import check_name, write_new
from farglide.cli.terminal import tell
from farglide.errors import AnswerError
from farglide.flightfile.asked.dialogue import LEFT_OUT, Dialogue, title
from farglide.flightfile.asked.parts import Part
from farglide.flightfile.asked.questions import TITLES
from farglide.flightfile.asked.written import flight_text
from farglide.present.lines import wrapped

Read = Callable[[str], str]
"""Shows a prompt and returns a line; raises EOFError where there is no more."""
Say = Callable[[str], None]

_BACK: Final = ("back", "go back", "undo", "<")
_HELP: Final = ("help", "?")
_STOP: Final = ("stop", "quit", "exit")
_OPENING: Final = (
    f"{len(TITLES)} questions make a flight file. Type what you know, its unit behind it or none. "
    "Enter alone leaves a part out where that may be. back: to the answer before. help: this once "
    "more. stop, or Ctrl-C: stop, with your answers kept."
)
_PROMPT: Final = "  > "


@dataclass(slots=True, kw_only=True)
class Desk:
    """Where questions are put: what reads a line, what shows one, and whether somebody types."""

    read: Read
    say: Say
    is_terminal: bool
    n_lines: int = 0
    refused: list[str] = field(default_factory=list)

    def line(self) -> str:
        """Return the next answer; lines that begin with # are comments between answers."""
        while True:
            said = self.read(_PROMPT)
            self.n_lines += 1
            if not self.is_terminal:
                self.say(said)
            if not said.lstrip().startswith("#"):
                return said


def at_a_terminal() -> Desk:
    """Return the desk of this process: its standard input and output."""
    return Desk(read=_read, say=tell, is_terminal=sys.stdin is not None and sys.stdin.isatty())


def _read(prompt: str) -> str:
    try:
        return input(prompt)
    except RuntimeError as error:  # standard input is closed
        raise EOFError from error


def ask_into(path: Path, desk: Desk) -> str:
    """Return what to tell of a flight file made of answers.

    Answers of a run that was stopped are kept beside it, and taken up when somebody types again.
    Raises AnswerError where they end before the questions do.
    """
    check_name(path)
    kept, dialogue = path.with_name(f"{path.name}.answers"), Dialogue()
    _show(desk, _OPENING)
    if desk.is_terminal and kept.is_file():
        _resume(dialogue, kept, desk)
    try:
        _talk(dialogue, desk)
    except (EOFError, KeyboardInterrupt):
        raise AnswerError("\n".join(_ended(dialogue, desk, kept))) from None
    write_new(path, flight_text(dialogue.document))
    kept.unlink(missing_ok=True)
    left = "What was left out is a guess, which the plan lists with what it costs."
    return f"\nWrote {path}. {left}\nNext: farglide check {path}"


def _talk(dialogue: Dialogue, desk: Desk) -> None:
    """Ask until all is answered."""
    shown = 0
    while (turn := dialogue.turn) is not None:
        if turn.question != shown:
            desk.say(f"\n{title(turn)}")
            shown = turn.question
        _show(desk, _part_words(turn.part, dialogue.kept))
        said = desk.line()
        if _is_order(said, dialogue, desk):
            shown = 0
            continue
        try:
            for note in dialogue.answer(said):
                _show(desk, f"Note: {note}")
        except AnswerError as error:
            desk.refused.append(f"line {desk.n_lines}: {error}")
            _show(desk, f"Not taken: {error}")


def _is_order(said: str, dialogue: Dialogue, desk: Desk) -> bool:
    """Do what was typed in place of an answer; tell whether it was such an order."""
    order = " ".join(said.lower().split())
    if order in _STOP:
        raise KeyboardInterrupt
    if order in _BACK:
        dialogue.back()
    elif order in _HELP:
        _show(desk, _OPENING)
    return order in (*_BACK, *_HELP)


def _part_words(part: Part, kept: str) -> str:
    """Return what is asked, what is allowed, and what an empty answer means."""
    empty = f"; empty: {part.blank}" if part.blank else ""
    if kept:
        empty = f"; empty keeps {kept}" + (f", {LEFT_OUT} leaves it out" if part.blank else "")
    return f"{part.ask[0].upper()}{part.ask[1:]} [{part.limits}{empty}]"


def _resume(dialogue: Dialogue, kept: Path, desk: Desk) -> None:
    """Take up the answers of a run that was stopped, as far as they can be taken."""
    try:
        lines = kept.read_text(encoding="utf-8").splitlines()
        for line in (line for line in lines if not line.startswith("#")):
            dialogue.answer(line)
    except (AnswerError, OSError, ValueError):
        pass  # the rest is asked
    told = f"{_answers(dialogue)} of before {_are(dialogue)} in {kept}"
    _show(desk, f"{told}: it goes on there.")


def _answers(dialogue: Dialogue) -> str:
    n = len(dialogue.answers)
    return "Your one answer" if n == 1 else f"Your {n} answers"


def _are(dialogue: Dialogue) -> str:
    return "is" if len(dialogue.answers) == 1 else "are"


def _ended(dialogue: Dialogue, desk: Desk, kept: Path) -> list[str]:
    """Keep the answers; return where they ended, and what was not taken on the way."""
    turn = dialogue.turn
    where = f"question {title(turn)} ({turn.part.ask})" if turn else "the end"
    what = "You stopped" if desk.is_terminal else f"The input ended after line {desk.n_lines},"
    lines = [f"{what} at {where}. No flight file was written."]
    lines += [f"  not taken: {one}" for one in ([] if desk.is_terminal else desk.refused)]
    if not dialogue.answers:
        return lines
    head = "# Answers to the questions of farglide new --ask, one a line."
    try:
        kept.write_text("\n".join([head, *dialogue.answers, ""]), encoding="utf-8")
    except OSError as error:
        what = f"{_answers(dialogue)} could not be kept in {kept}"
        return [*lines, f"{what}: {error.strerror}."]
    told = f"{_answers(dialogue)} {_are(dialogue)} kept in {kept}"
    lines.append(f"{told}; in a terminal, the same")
    return [*lines, "command goes on from there."]


def _show(desk: Desk, text: str) -> None:
    for line in wrapped(text, 2, 2):
        desk.say(line)
