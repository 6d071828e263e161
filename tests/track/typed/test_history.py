"""The entries that stand: an undo restores what was before, exactly."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.errors import AnswerError, InputError
from farglide.track.typed.entries import Entry, Grade, Mark, MarkKind, Overlay, Undo
from farglide.track.typed.history import History

ENTRIES = st.one_of(
    st.builds(Mark, kind=st.sampled_from(MarkKind)),
    st.builds(Grade, grade=st.integers(0, 5)),
    st.builds(Overlay, amsl_m=st.floats(0.0, 30_000.0)),
)


@given(st.lists(ENTRIES, max_size=8), ENTRIES)
def test_an_undo_restores_exactly(before: list[Entry], entry: Entry) -> None:
    history = History()
    for k, one in enumerate(before):
        history = history.with_entry(one, float(k))
    after = history.with_entry(entry, 100.0)
    assert after.with_entry(Undo(), 101.0) == history
    if isinstance(entry, Mark):
        assert after.with_entry(Undo(kind=entry.kind), 101.0) == history


def test_a_mark_is_taken_back_whatever_came_after_it() -> None:
    history = History().with_entry(Mark(kind=MarkKind.LAUNCHED), 0.0)
    other = history.with_entry(Grade(grade=3), 2.0)
    history = history.with_entry(Mark(kind=MarkKind.BURST), 1.0).with_entry(Grade(grade=3), 2.0)
    assert history.marks == (MarkKind.LAUNCHED, MarkKind.BURST)
    assert history.with_entry(Undo(kind=MarkKind.BURST), 3.0) == other


def test_refusals() -> None:
    with pytest.raises(AnswerError, match="Nothing to take back: no entry stands"):
        History().with_entry(Undo(), 0.0)
    history = History().with_entry(Grade(grade=3), 5.0)
    with pytest.raises(AnswerError, match="Nothing to take back: no mark 'burst' stands"):
        history.with_entry(Undo(kind=MarkKind.BURST), 6.0)
    with pytest.raises(InputError, match="t_s of an entry is 4 s; allowed: 5 s"):
        history.with_entry(Grade(grade=3), 4.0)
