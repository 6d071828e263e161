"""The printed plan: one file, complete, escaped, and the same every time."""

import re
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from types import ModuleType
from xml.etree import ElementTree as ET

import pytest

from farglide.outlook.faults import CellHeat
from farglide.outlook.outlook import Outlook
from farglide.present.say.answer import LAST_WORD, answer_parts
from farglide.report.brief import render_brief
from farglide.report.pictures import HEIGHTS_PX
from farglide.report.sheet import ON_CARDS, sheets

from .plans import long_names, six_fields

LEAST_PX = 12.0  # 9 point at 96 px to the inch
VOID = {"meta", "br", "hr", "img", "link", "input"}

PLANS = (
    "sample", "hostile", "not_cleared", "no_release", "with_links", "seven", "worst", "long",
)  # fmt: skip


class _Reader(HTMLParser):
    """Tags, ids and words of a page; fails on a tag that is not closed in order."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self._open: list[str] = []
        self.feed(page)
        self.close()
        assert self._open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self._open.pop() == tag

    def handle_data(self, data: str) -> None:
        if not self._open or self._open[-1] != "style":
            self.words.append(data)

    @property
    def text(self) -> str:
        return re.sub("[ \n]+", " ", "".join(self.words))

    @property
    def ids(self) -> list[str]:
        return [attrs["id"] or "" for _, attrs in self.tags if "id" in attrs]


@pytest.fixture
def page(outlook: Outlook) -> str:
    return render_brief(outlook)


def test_everything_is_inside_the_file(page: str) -> None:
    reader = _Reader(page)
    assert "script" not in {tag for tag, _ in reader.tags}
    for tag, attrs in reader.tags:
        assert tag not in {"link", "iframe", "object", "img"}
        assert not {"src", "onclick", "onload"} & set(attrs)
        assert attrs.get("href", "#").startswith(("data:image/png;base64,", "#"))
    assert set(re.findall(r"url\((.{5})", page)) <= {
        "data:", "#doub", "#clip", "#ladd", "#dens", "#line", "#dots", "#boug",
    }  # fmt: skip
    outside = set(re.findall(r"https?://[^\"' )]+", page))
    assert outside == {"http://www.w3.org/2000/svg"}  # the name of a vocabulary, never fetched
    assert "@import" not in page


def test_the_fonts_travel_with_it(page: str) -> None:
    assert page.count("@font-face") == 6
    assert page.count("data:font/woff2;base64,d09GMg") == 6  # "wOF2", the mark of the format


def test_every_part_is_there(page: str) -> None:
    reader = _Reader(page)
    parts = {
        "card", "say", "ladder", "map", "fill", "strip", "side", "fails", "call",
        "crew", "stop", "launching", "aiming", "wrong", "granted", "elsewhere", "launch-area",
    }  # fmt: skip
    assert parts <= set(reader.ids)
    for words in (
        "Launch from Harrowend at 16:40, release between 25.4 and 26.1 km going up, about 17:54 to "
        "17:55: the chance of coming home to Harrowend is 9 in 10",
        "Release by 26.1 km (about 17:55): after that a burst becomes likely.",
        "Home is shut from 17:09 to 17:41",
        "Saturday 23 January 2027, launch 16:40 (09:40 UTC) at Harrowend, 46.500 S 108.000 E",
        "Hang 1\u2009600 g on the neck: it must just float.",
        "2.28 m³ of hydrogen",
        "FL100200330450600",
        "Sun at 17:55 bears 257°, 14° up; sets 19:33. Harrowend bears 310°.",
        "What would make it better",
        "What is not known, costliest first",
        "Launch 30 km upwind of home instead, near 46.33° S 107.70° E (49 min drive): the chance "
        "of home is then 19 in 20.",
        "Where to launch from",
        "Launch spots",
        "The glider by height",
        "Waiting with the packs on",
        "Each field, if released then",
        "Release by 26.1 km, about 17:55 (T+75, 10:55 UTC): the burst ends the window",
        "46.684 S 108.325 E",
        "Levels are pressure, read from the sounding; the receiver shows true height.",
        "Hydrogen: earth the filler, no spark.",
        "Stop filling above 5 m/s of wind",
        "Hydrogen burns: outdoors, no sparks",
        LAST_WORD,
    ):
        assert words in reader.text


def test_utc_stands_beside_local_times(page: str) -> None:
    text = _Reader(page).text
    assert "local16:5117:0117:1417:2517:37UTC09:5110:0110:1410:2510:37" in text.replace(" ", "")
    assert page.count("UTC</th>") >= 4  # the call card, levels, ends, fields


def test_ids_are_used_once_and_pictures_find_their_patterns(page: str) -> None:
    ids = _Reader(page).ids
    assert len(ids) == len(set(ids))
    assert set(re.findall(r"url\(#([^)]+)\)", page)) <= set(ids)


def test_pictures_are_well_formed_and_labelled(page: str) -> None:
    pictures = [
        svg for svg in re.findall(r"<svg.*?</svg>", page, flags=re.S) if "aria-label" in svg
    ]
    assert len(pictures) == 9 + sum(len(heights) for heights in HEIGHTS_PX.values())
    for svg in pictures:
        root = ET.fromstring(svg)
        assert root.get("role") == "img"
        assert root.get("aria-label")


def test_no_words_on_paper_are_too_small(page: str) -> None:
    css = page[page.index("<style>") : page.index("</style>")]
    paper = css[: css.index("@media screen and (max-width:760px)")]
    sizes = [float(size) for size in re.findall(r"font-size:calc\(([\d.]+)\*", paper)]
    assert len(sizes) > 10
    assert min(sizes) >= LEAST_PX
    assert not re.findall(r"font-size:[\d.]+px", paper)


def test_print_is_black_and_night_is_on_screens_only(page: str) -> None:
    root = page[page.index(":root{") : page.index("}", page.index(":root{"))]
    for token in ("--ink", "--ink-2", "--open", "--doubtful", "--burst", "--guess"):
        assert f"{token}:#000" in root
    assert "@media screen and (prefers-color-scheme:dark)" in page
    assert "@page{size:A4" in page


def test_the_key_tells_the_odds_that_the_flight_file_asks_for(outlook: Outlook, page: str) -> None:
    told = "Solid open, 9 in 10 or better; hatched doubtful, 5 in 10 or better; empty shut"
    assert told in _Reader(page).text
    strict = render_brief(replace(outlook, open_ratio=0.95, doubtful_ratio=0.7))
    told = "Solid open, 19 in 20 or better; hatched doubtful, 7 in 10 or better; empty shut"
    assert told in _Reader(strict).text


def test_hostile_names_stay_words(samples: ModuleType) -> None:
    page = render_brief(samples.hostile())
    reader = _Reader(page)
    assert "script" not in {tag for tag, _ in reader.tags}
    assert page.count("<b>") == page.count("</b>")
    assert '<b>&"' not in page
    assert "<b>&\"'</b><script>" in reader.text


def test_not_cleared_comes_before_the_answer(samples: ModuleType, page: str) -> None:
    assert "Not cleared" not in page
    barred = render_brief(samples.not_cleared())
    ids = _Reader(barred).ids
    assert ids.index("not-cleared") < ids.index("say")
    text = _Reader(barred).text
    assert "Not cleared. Missing: flight out of sight; free balloon." in text


def test_no_release_says_so_and_what_would_open_it(samples: ModuleType) -> None:
    text = _Reader(render_brief(samples.no_release())).text
    assert "No release above 20 km brings it home" in text
    assert "To open it: launch 30 km upwind of home; fly the day after." in text
    assert "No release meets what you ask for." in text


def test_links_at_the_top_lead_to_every_sheet_and_are_not_printed(page: str) -> None:
    nav = re.search(r'<nav class="jump screen".*?</nav>', page, re.DOTALL)
    assert nav is not None
    targets = re.findall(r'href="#([a-z]+)"', nav[0])
    assert targets == ["ladder", "map", "strip", "launching", "aiming", "wrong", "granted"]
    assert all(page.count(f'id="{target}"') == 1 for target in targets)
    assert ".screen{display:none}" in page[page.index("@media print{\n .sheet") :]


def test_the_same_plan_gives_the_same_bytes(outlook: Outlook, page: str) -> None:
    assert render_brief(outlook) == page


def test_the_page_takes_the_tallest_picture_that_it_has_room_for(page: str) -> None:
    css = page[page.index("<style>") : page.index("</style>")]
    for name, heights in HEIGHTS_PX.items():
        assert list(heights) == sorted(set(heights))
        box = page[page.index(f'<div class="fit fit-{name}">') :]
        drawn = re.findall(r'<svg [^>]*? height="([\d.]+)"', box)[: len(heights)]
        assert [float(height_px) for height_px in drawn] == list(heights)
        for n, height_px in enumerate(heights[1:], start=2):
            rule = f"@container (min-height:{height_px:.0f}px){{.fit-{name}>:nth-child({n - 1})"
            assert f"{rule}{{display:none}}.fit-{name}>:nth-child({n}){{display:block}}}}" in css
    assert css.index(".fit>:last-child{display:block}") < css.index(".fit-ladder")


def test_what_a_crew_needs_stands_on_the_first_sheet_and_the_rest_at_the_end(
    outlook: Outlook,
) -> None:
    page = render_brief(outlook)
    first, last = page.index('id="crew"'), page.index('<article class="sheet" id="launching">')
    assert first < last
    card = _Reader(f"<main>{page[page.index('<article') : last]}</main>").text
    for words in (
        "The driver", "Hydrogen burns:", "Water, gorges", "Latex and line fall too",
        "A lithium pack dented", "The gas bottle is tied upright",
    ):  # fmt: skip
        assert words in card
    text = _Reader(page).text
    assert all(text.index(caution) > len(card) for caution in outlook.cautions)


def test_the_caution_of_hydrogen_is_told_where_there_is_hydrogen(outlook: Outlook) -> None:
    helium = replace(outlook, fill=replace(outlook.fill, gas="helium"), ground_wind_limit_mps=6.5)
    text = _Reader(render_brief(replace(helium, cautions=()))).text
    assert "Hydrogen burns" not in text
    assert text.count("Helium displaces air:") == 2  # on the first sheet, and beside the fill
    assert "Stop filling above 6.5 m/s of wind" in text


def test_a_plan_with_next_to_nothing_still_prints(outlook: Outlook) -> None:
    sun = replace(outlook.sun, sunset_after_launch_s=None, dusk_after_launch_s=None)
    bare = replace(
        outlook,
        fields=(),
        release=None,
        gains=(),
        unknowns=(),
        packs=(),
        contours=(),
        holds=(),
        launch=None,
        glider=(),
        cautions=(),
        levels_note="",
        latest_launch_delay_s=None,
        sun=sun,
        ascent=replace(outlook.ascent, levels=(), beyond_amsl_m=24_000.0),
        side=replace(outlook.side, quickest=(), flattest=(), wind_along=()),
    )
    text = _Reader(render_brief(bare)).text
    assert "no field prepared: nowhere to land over the whole climb" in text
    assert "Above 24.0 km, the dashed line, the winds are an extension." in text
    assert "Launch spots" not in text
    assert "Where to launch from" not in text


def _seven(outlook: Outlook) -> Outlook:
    more = tuple(replace(outlook.fields[1], name=f"Upper Meadow {n}") for n in (5, 6, 7))
    left = tuple(replace(outlook.seconds_left[0], field=field.name) for field in more)
    return replace(
        outlook,
        fields=(*outlook.fields, *more),
        seconds_left=(*outlook.seconds_left, *left),
    )


def _printed(outlook: Outlook) -> list[str]:
    return [part.title for sheet in sheets(outlook) for group in sheet.groups for part in group]


def test_every_part_of_the_answer_is_on_paper_once(outlook: Outlook) -> None:
    parts = [part.title for part in answer_parts(outlook) if part.is_printed]
    printed = _printed(outlook)
    assert len(printed) == len(set(printed))
    assert set(parts) - set(printed) == set(ON_CARDS)  # beside the fill, and on the fault card
    assert printed[0] == "Launch spots"
    assert printed[-2:] == ["Notes", "Cautions"]


def test_a_part_without_a_place_comes_before_the_notes(outlook: Outlook) -> None:
    cold = CellHeat(
        pack="all",
        coldest_k=249.7,
        coldest_after_launch_s=9540.0,
        coldest_amsl_m=9500.0,
        left_ratio=0.763,
    )
    printed = _printed(replace(outlook, cells=(cold,)))
    assert printed[-3:] == ["Heat and cold", "Notes", "Cautions"]


def test_what_fails_is_on_the_card_with_seconds_in_bold(page: str, outlook: Outlook) -> None:
    text = _Reader(page).text
    assert (
        "If something failsBurst at 27 km, still tied on: send the release at once; in reach for "
        "Harrowend 140 s, Tansy Lea 260 s, Brackmoor not at all, Corrand not at all."
        "Nobody steers it: hands off, it comes down about 20:29, 131 km downwind, near 47.600 S "
        "109.900 E"
    ) in text
    assert "<b>140 s</b>" in page
    bare = replace(outlook, seconds_left=(), unsteered=())
    text = _Reader(render_brief(bare)).text
    assert "still tied on" not in text
    assert "Nobody steers it: no flight without hands was measured" in text


def test_the_sheets_have_what_fails_and_the_notes(page: str) -> None:
    text = _Reader(page).text
    assert "If nobody steers" in text
    assert "glider, hands off2620:2920:16–20:41131" in text
    assert "2 levels without wind left out." in text


def test_where_to_launch_is_a_map_and_a_table_without_percent(page: str) -> None:
    area = page[page.index('<section id="launch-area"') :]
    area = area[: area.index("</section>")]
    assert "%" not in area
    assert area.count("<svg") == 3
    text = _Reader(page).text
    assert "best spot, 46.33° S 107.70° E30 km NW49 min19 in 20over 49 in 5019 in 20" in text
    assert "Nothing is known of the ground there: look, and ask the owner first." in text


def test_without_an_area_nothing_is_said_of_it(outlook: Outlook) -> None:
    page = render_brief(replace(outlook, launch=None, elsewhere=""))
    assert 'id="elsewhere"' not in page
    assert 'id="launch-area"' not in page


def test_changes_for_the_worse_stand_apart(outlook: Outlook, page: str) -> None:
    assert "What would make it worse" not in page
    worse = replace(outlook.gains[0], what="one speed at every height", chance_ratio=0.4, advice="")
    plain = tuple(replace(gain, advice="") for gain in outlook.gains)
    text = _Reader(render_brief(replace(outlook, gains=(*plain, worse)))).text
    head = "What would make it worse"
    assert text.index(head) < text.index("one speed at every height")
    assert text.index("What would make it better") < text.index(head)


def test_words_are_shared_with_the_terminal(outlook: Outlook) -> None:
    low = replace(outlook.sun, elevation_deg=-1.2)
    hold = replace(outlook.holds[0], delay_s=0.0)
    plan = replace(
        outlook, sun=low, cleared=False, missing=("aircraft",), holds=(hold, *outlook.holds),
        latest_launch_delay_s=0.0,
    )  # fmt: skip
    text = _Reader(render_brief(plan)).text
    assert "Sun at 17:55 bears 257°, 1° below the horizon; sets 19:33." in text
    assert "Missing: glider after the release." in text
    assert "not waiting9 in 10" in text
    assert "latest launch 16:40, as planned" in text
    assert "flattest way down, after the packsT+242" in text
    assert "text-wrap:balance" in render_brief(plan)


def test_advice_begins_with_a_capital(outlook: Outlook) -> None:
    guess = replace(outlook.unknowns[0], advice="the first five minutes of one climb")
    text = _Reader(render_brief(replace(outlook, unknowns=(guess,)))).text
    assert "The first five minutes of one climb." in text


def _plan(samples: ModuleType, name: str) -> Outlook:
    """Return a sample; the worst has seven fields, three permissions missing and no release."""
    if name == "seven":
        return _seven(samples.sample())
    if name == "worst":
        plan = _seven(samples.no_release())
        return replace(plan, cleared=False, missing=("airspace", "aircraft", "land"))
    if name == "long":
        return long_names(six_fields(samples.with_links()))
    found = getattr(samples, name)()
    assert isinstance(found, Outlook)
    return found


@pytest.mark.parametrize("name", PLANS)
def test_the_card_is_one_page(
    samples: ModuleType, pages_of_card: Callable[[str], int], name: str
) -> None:
    assert pages_of_card(render_brief(_plan(samples, name))) == 1


def test_what_is_asked_for_and_what_is_guessed_are_told(outlook: Outlook) -> None:
    plan = replace(
        outlook, asked=("land",), guesses=("flown glide", "cold share"), usual=("balloon drag",)
    )
    page = render_brief(plan)
    text = _Reader(page).text
    assert page.index('id="asked"') < page.index('id="say"')
    assert "Asked for, no answer yet: land." in text
    assert "GuessedFlown glide, cold share.Usual values, not measured: balloon drag." in text
    bare = render_brief(replace(outlook, asked=(), guesses=(), usual=()))
    assert 'id="asked"' not in bare
    assert "GuessedNothing." in _Reader(bare).text


def test_the_wind_on_the_ground_stands_by_its_limit(outlook: Outlook) -> None:
    windy = replace(outlook, ground_wind_mps=7.0, ground_wind_limit_mps=5.0)
    text = _Reader(render_brief(windy)).text
    assert "Stop filling above 5 m/s of wind7 m/s at the fill, above your limit of 5 m/s" in text
