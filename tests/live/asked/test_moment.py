"""Moment: when and where any flight is asked of, carried or not."""

from dataclasses import dataclass, replace

from farglide.live.asked.moment import AtMoment, Told
from farglide.live.asked.situation import Situation
from farglide.sortie.spec import Sortie


@dataclass(frozen=True, kw_only=True)
class Bare(AtMoment):
    """A flight of which nothing but its advice is known."""

    written: Sortie

    @property
    def sortie(self) -> Sortie:
        return self.written


def test_it_is_when_and_where_its_advice_has_it(asked: Situation) -> None:
    found = Bare(advice=asked.advice, written=asked.sortie)
    assert found.told == Told()
    assert found.terrain is None
    assert found.launch == asked.launch
    assert found.now_s == asked.advice.after_launch_s == asked.now_s
    assert found.now_t_s == found.launch.t_s + 76.0 * 60.0
    assert found.place == asked.place
    later = replace(found, advice=replace(asked.advice, after_launch_s=5000.0))
    assert later.now_t_s - found.now_t_s == 5000.0 - found.now_s
