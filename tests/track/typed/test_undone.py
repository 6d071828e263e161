"""An undo by the word that its entry was typed with."""

import pytest

from farglide.errors import AnswerError
from farglide.track.typed.entries import AtStand, Mark, MarkKind, NeckLift, Overlay, Seen, Undo
from farglide.track.typed.parse import _READERS, MARKS
from farglide.track.typed.undone import undo_of, undo_words


@pytest.mark.parametrize(
    ("word", "undo"),
    [
        ("", Undo()), ("neck", Undo(of=NeckLift)), ("n", Undo(of=NeckLift)),
        ("burst", Undo(kind=MarkKind.BURST)), ("sun", Undo(what=Seen.SUN)),
        ("at", Undo(of=AtStand)), ("h", Undo(of=Overlay)),
    ],
)  # fmt: skip
def test_the_word_it_was_typed_with(word: str, undo: Undo) -> None:
    assert undo_of(word, MARKS) == undo


def test_each_word_of_an_entry_takes_one_back() -> None:
    for word in (*MARKS, *_READERS):
        if word not in ("u", "undo"):
            assert undo_words(undo_of(word, MARKS))


def test_what_takes_nothing_back_says_how() -> None:
    with pytest.raises(AnswerError, match=r"'boat' takes nothing back. Type u alone for the last"):
        undo_of("boat", MARKS)


def test_what_it_takes_back_has_a_name() -> None:
    undos = Undo(), Undo(of=NeckLift), Undo(kind=MarkKind.BURST), Undo(what=Seen.WOOD)
    assert [undo_words(one) for one in undos] == ["entry", "neck lift", "mark 'burst'", "wood"]
    assert undos[2].takes(Mark(kind=MarkKind.BURST))
