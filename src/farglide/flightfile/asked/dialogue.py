"""Dialogue: the answers so far, the part that comes next, and what is wrong with an answer."""

import re
from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Final

from farglide.errors import AnswerError, Problem
from farglide.flightfile.asked.parts import Document, Turn
from farglide.flightfile.asked.questions import left_out_note, question_title, script
from farglide.flightfile.asked.typed import Keys
from farglide.flightfile.flightfile import understood

LEFT_OUT: Final = "-"
"""Typed where an earlier answer would be kept: leave it out after all."""
_LISTS: Final = ("packs", "fields", "links", "stands")
_NOTHING: Final = (LEFT_OUT, "no", "none", "nothing", "skip", "unknown", "not known")
"""As good as an empty answer, where that may be and where they are no answer themselves."""
_MEANWHILE: Final[Document] = {
    "flight": {"launch_at": datetime(2027, 6, 15, 12, tzinfo=UTC)},
    "launch": {"lat_deg": 45.0},
    "balloon": {"mass_kg": 1.0, "gas": "helium"},
    "glider": {"mass_kg": 0.5},
}
"""Stands for sections that were not asked yet, while those that were are looked at."""

_KEYS: Final = re.compile(r" \([a-z]+_[a-z_]+(?:, [a-z]+_[a-z_]+)*\)")
"""Keys of the file behind words of a note, which who answers has not seen."""

Slot = tuple[int, str, int]
"""A part by its question, its key, and how often that was asked before."""


@dataclass(slots=True)
class Dialogue:
    """A person's answers, in order; everything else follows from them.

    `earlier`: what was answered to a part before it was asked again; an empty answer keeps it;
    `is_asked_back`: a strange answer is asked about before it is taken, in place of being noted.
    """

    answers: list[str] = field(default_factory=list)
    earlier: dict[Slot, str] = field(default_factory=dict)
    told: set[str] = field(default_factory=set)
    doubted: set[tuple[Slot, str]] = field(default_factory=set)
    is_asked_back: bool = True

    @property
    def turn(self) -> Turn | None:
        """Return what is to be answered now, None when all is."""
        return _replayed(self.answers)[1]

    @property
    def title(self) -> str:
        """Return the question that is asked now, with its place among those that are."""
        doc, turn = _replayed(self.answers)
        return question_title(turn.question, doc) if turn else "the end"

    @property
    def document(self) -> Document:
        """Return what the answers so far put into the flight file."""
        return _stated(_replayed(self.answers)[0])

    @property
    def kept(self) -> str:
        """Return what was answered before to the part that is asked now; empty if nothing."""
        turns = _turns(self.answers)
        return self.earlier.get(_slots(turns)[-1], "")

    def answer(self, said: str) -> list[str]:
        """Take an answer; return what to tell about the question that it ends.

        Raises AnswerError with the reason: the part is asked again, or with all parts of its
        question where it is those together that cannot be.
        """
        turn = self.turn
        if turn is None:
            return []
        said = said.strip() or self.kept
        said = "" if _is_nothing(turn, said) else said
        keys, slot = _taken(turn, said), _slots(_turns(self.answers))[-1]
        self.answers.append(said)
        notes = self._notes(turn.question)
        doubt = turn.part.doubt(keys) if keys else ""
        if doubt and self.is_asked_back and (slot, said) not in self.doubted:
            self.doubted.add((slot, said))
            self.back()
            raise AnswerError(f"{doubt} Enter alone takes it as it is.")
        return [*filter(None, [doubt]), *notes] if not self.is_asked_back else notes

    def _notes(self, question: int) -> list[str]:
        """Return what to tell after a question, nothing inside one; ask again what cannot be."""
        following = self.turn
        if following is not None and following.question == question:
            return []
        problems, notes = understood(_whole(self.document))
        if problems:
            told = _refusal(problems, self.document)
            self._ask_again(question)
            raise AnswerError(told)
        notes = [_KEYS.sub("", note) for note in notes if not note.startswith("No ")]
        new = [note for note in notes if note not in self.told]
        self.told |= set(new)
        skipped = left_out_note(following.question, _replayed(self.answers)[0]) if following else ""
        return [*new, *filter(None, [skipped])]

    def back(self) -> None:
        """Take the last answer back; it is kept as the earlier one."""
        if self.answers:
            self._forget(len(self.answers) - 1)

    def _ask_again(self, question: int) -> None:
        turns = _turns(self.answers)
        self._forget(next(i for i, turn in enumerate(turns) if turn.question == question))

    def _forget(self, first: int) -> None:
        slots = _slots(_turns(self.answers))
        for slot, said in zip(slots[first:], self.answers[first:], strict=False):
            self.earlier[slot] = said
        del self.answers[first:]


def _refusal(problems: Sequence[Problem], doc: Document) -> str:
    """Return why answers cannot be together, by what was typed where that is told of."""
    stated = {f"[{name}] {key}" for name, keys in doc.items() if name not in _LISTS for key in keys}
    typed = [one for one in problems if one.where in stated]
    told = [f"That {one.what} {one.remedy}".strip() for one in typed]
    return " ".join(told or map(str, problems))


def _is_nothing(turn: Turn, said: str) -> bool:
    word = said.casefold()
    return bool(turn.part.blank) and word in _NOTHING and word not in turn.part.words


def _taken(turn: Turn, said: str) -> Keys:
    """Return the keys of an answer; an empty one is left out where that may be."""
    if said:
        return turn.part.take(said)
    if turn.part.blank:
        return {}
    raise AnswerError(f"An answer is needed here: {turn.part.limits}.")


def _replayed(answers: Sequence[str]) -> tuple[Document, Turn | None]:
    """Return the document after some answers, and the part that comes next."""
    doc: Document = {}
    asking = script(doc)
    try:
        turn = next(asking)
        for said in answers:
            turn = asking.send(_taken(turn, said))
    except StopIteration:
        return doc, None
    return doc, turn


def _turns(answers: Sequence[str]) -> list[Turn]:
    """Return the parts that were answered, and the next one."""
    asking = script({})
    turns = [next(asking)]
    try:
        for said in answers:
            turns.append(asking.send(_taken(turns[-1], said)))
    except StopIteration:
        pass
    return turns


def _slots(turns: Sequence[Turn]) -> list[Slot]:
    found: list[Slot] = []
    for turn in turns:
        name = turn.question, turn.part.ask
        found.append((*name, sum(slot[:2] == name for slot in found)))
    return found


def _stated(doc: Document) -> Document:
    """Return a document without sections of which nothing was stated."""
    return {section: keys for section, keys in doc.items() if keys}


def _whole(doc: Document) -> Document:
    """Return a document with what stands for sections that were not asked yet."""
    whole = deepcopy(_MEANWHILE)
    if "payload" in doc:
        del whole["glider"]
    for section, keys in doc.items():
        whole[section] = {**whole.get(section, {}), **keys} if isinstance(keys, dict) else keys
    whole["launch"].setdefault("lon_deg", _noon_lon_deg(whole["flight"]["launch_at"]))
    for section in ("balloon", "glider"):
        if {"mass_kg", "mass_g"} <= whole.get(section, {}).keys():
            del whole[section]["mass_kg"]
    return whole


def _noon_lon_deg(launch_at: datetime) -> float:
    """Return where a clock is that of the sun: until the place is asked, none can be wrong."""
    offset_h = (launch_at.utcoffset() or timedelta(0)) / timedelta(hours=1)
    return (15.0 * offset_h + 180.0) % 360.0 - 180.0
