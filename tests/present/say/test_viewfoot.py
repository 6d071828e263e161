"""The foot of the ride's screen: the newest entry is whole, all that may be typed is told."""

from dataclasses import replace

from farglide.outlook.rideview import Remark
from farglide.present.say.rideview import view_lines
from farglide.present.say.viewfoot import cut, foot_lines
from farglide.track.typed.parse import HOW

from .test_rideview import T_S, VIEW, text


def test_words_that_find_no_room_are_cut_at_their_end() -> None:
    assert cut("word " * 3, 80, 1) == ["word word word"]
    told = cut("word " * 60, 40, 2)
    assert len(told) == 2
    assert told[1].endswith(" ...")
    assert max(map(len, told)) <= 40


def test_how_old_the_tables_are_comes_first() -> None:
    first = foot_lines(VIEW, ["winds 12 s old"], 80, 24)[0]
    assert first.startswith("Ages   winds 12 s old; tracker (glider) fresh 0 s")


def test_the_newest_entry_stays_whole_and_older_ones_give_way() -> None:
    long = "handed over: gliding at 17:50, 46.51234 S 108.20000 E, height 12340 m, field Tansy Lea"
    view = replace(VIEW, entries=(
        Remark(t_s=T_S, words="launched"), Remark(t_s=T_S + 60.0, words="at Wether Knap"),
        Remark(t_s=T_S + 120.0, words="46.51234 S 108.20000 E, height 12340 m, 4.1 V"),
    ))  # fmt: skip
    lines = view_lines(view, 80, 24)
    assert "Typed  08:02:00 46.51234 S 108.20000 E, height 12340 m, 4.1 V" in lines
    wide = text(view, 120, 24)
    assert "Typed  08:00:00 launched; 08:01:00 at Wether Knap; 08:02:00 46.51234 S" in wide
    one = replace(view, entries=(*view.entries, Remark(t_s=T_S + 180.0, words=long)))
    flat = " ".join(text(one).split())
    assert f"Typed 08:03:00 {long}" in flat


def test_all_words_that_may_be_typed_are_told_whole() -> None:
    flat = " ".join(text(replace(VIEW, answer=f"'xyz' is no entry. {HOW}")).split())
    assert " ".join(HOW.split()) in flat
