"""A card: whole on any screen, page by page, and broken for its width alone."""

from farglide.present.say.cardview import MORE, card_lines

AWAY = "(Enter takes this card away.)"


def test_a_short_card_is_one_page() -> None:
    assert card_lines(("Wait.", "", "It dries."), 0, 40, 6) == [
        "Wait.", "", "It dries.", AWAY, "", "",
    ]  # fmt: skip


def test_a_long_one_has_pages_and_loses_nothing() -> None:
    card = tuple(f"line {k}" for k in range(9))
    pages = [card_lines(card, k, 40, 5) for k in range(4)]
    assert [one[-1] for one in pages[:2]] == [f"{MORE}: page 1 of 3.)", f"{MORE}: page 2 of 3.)"]
    assert pages[2] == ["line 8", AWAY, "", "", ""]
    assert pages[3] == pages[2]
    assert [line for one in pages[:3] for line in one if line.startswith("line")] == list(card)


def test_what_was_broken_for_a_wider_screen_flows_anew() -> None:
    card = (
        "  Released now 1 in 50; in 1 min 1 in 50 (0.4 km higher), in 2",
        "    min 1 in 20",
        "  Next.",
    )
    assert card_lines(card, 0, 50, 6)[:3] == [
        "  Released now 1 in 50; in 1 min 1 in 50 (0.4 km",
        "    higher), in 2 min 1 in 20",
        "  Next.",
    ]


def test_a_row_with_a_label_begins_a_line_of_its_own() -> None:
    """Behind an answer that fills the wider screen, and behind twelve words read aloud."""
    words = "Say: alfa 2 bravo 3 charlie 4 delta 5 echo 6 foxtrot 7 golf 8 hotel 9 india 2 juliett"
    card = [f"{words} victor 2.", "  Number   Climbing, 12.3 km, at 17:20.", "  Sure     By a fix."]
    told = card_lines(card, 0, 80, 10)
    assert told[2].strip().startswith("Number")
    assert "  Sure     By a fix." in told
