"""Label: set in blocks that hold all its words, tried near before far."""

import pytest

from farglide.present.draw.chart.label import Label, LabelSpot, blocks, inked, set_words, spots
from farglide.present.draw.faces import FAMILY, Cut, width_px
from farglide.present.draw.place import Edges, Point

HERE = Point(100.0, 80.0)


@pytest.mark.parametrize(
    "words", ["a", "Harrowend strip", "Upper Tansy Meadow by the old mill pond", "x" * 200, ""]
)
def test_every_block_holds_its_words(words: str) -> None:
    label = Label(at=HERE, words=words, figure="3")
    found = blocks(label)
    assert found
    for block in found:
        assert all(width_px(line, 12.0) < block.width_px for line in block.lines)
        assert block.width_px <= label.most_px + 30.0
        if len(words) < 100:
            assert " ".join(block.lines) == words
    assert len({len(block.lines) for block in found}) == len(found)


def test_near_places_come_first_and_cost_least() -> None:
    found = spots(Label(at=HERE, words="Tansy Lea"))
    assert found[0].cost == min(one.cost for one in found)
    assert found[0].box.left > HERE.x
    assert found[0].leader is None
    assert found[0].box.top < HERE.y < found[0].box.bottom
    far = [one for one in found if one.leader]
    assert far
    for spot in far:
        assert spot.leader is not None
        start, end = spot.leader
        assert abs(start.x - HERE.x) + abs(start.y - HERE.y) < 12.0
        left, top, right, bottom = inked(spot.box, 12.0)
        assert left - 2.1 <= end.x <= right + 2.1
        assert top - 1.1 <= end.y <= bottom + 1.1


def test_no_place_covers_the_mark() -> None:
    for spot in spots(Label(at=HERE, words="Tansy Lea", figure="2", clear_px=5.0)):
        left, top, right, bottom = inked(spot.box, 12.0)
        assert not (left < 104.0 and right > 96.0 and top < 84.0 and bottom > 76.0)


def test_a_line_has_its_words_upon_it() -> None:
    along = (Point(10.0, 10.0), Point(40.0, 60.0))
    first, second = spots(Label(at=along[0], words="20 km", along=along))[:2]
    for spot, at in ((first, along[0]), (second, along[1])):
        assert (spot.box.left + spot.box.right) / 2.0 == pytest.approx(at.x)
        assert (spot.box.top + spot.box.bottom) / 2.0 == pytest.approx(at.y)


def test_words_are_set_inside_their_box() -> None:
    label = Label(at=HERE, words="Upper Tansy Meadow by the old mill pond", figure="12")
    for block in blocks(label):
        box = Edges(50.0, 50.0, 50.0 + block.width_px, 50.0 + block.height_px)
        words = set_words(label, LabelSpot(block, box, 0.0, None))
        assert words[0].words == "12"
        assert words[0].size_px > words[1].size_px
        for one in words:
            assert one.x >= 50.0
            assert (
                one.x + width_px(one.words, one.size_px, Cut(FAMILY, one.weight))
                <= box.right + 0.01
            )
            assert 50.0 < one.y < box.bottom
    assert label.name == "12 Upper Tansy Meadow by the old mill pond"
