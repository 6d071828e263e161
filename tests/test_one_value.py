"""One quantity, one value: what the JSON document holds is what text, tables and pictures say."""

import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from typing import Any, NamedTuple

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_places, gather_terrain
from farglide.outlook.outlook import Outlook
from farglide.plan.plan import plan
from farglide.present.say.text import (
    FlightClock,
    bearing_text,
    duration_words,
    grams_text,
)
from farglide.report.brief import render_brief
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.words import at_least_words, chance_words, km_text, number_text

from .reading import answer_lines

TIME = r"(\d\d:\d\d)"
SPAN = r"(\d\d:\d\d–\d\d:\d\d)"
KM = r"([\d.]+)"
SOME = r"(?:(?:under |over )?\d+ in \d+)"
ODDS = f"({SOME})"
BOTH = ("text", "brief")


class Quantity(NamedTuple):
    """One quantity: its words, the places where it is printed, and the documents that print it."""

    name: str
    told: str
    patterns: tuple[str, ...]
    documents: tuple[str, ...] = BOTH


class _Words(HTMLParser):
    """The words of a page in order, those of pictures and of their labels among them."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self._in_style = False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._in_style = tag == "style"
        self.words.append(dict(attrs).get("aria-label") or "")

    def handle_endtag(self, tag: str) -> None:
        self._in_style = False
        self.words.append(";" if tag == "text" else "")

    def handle_data(self, data: str) -> None:
        self.words.append("" if self._in_style else data)


def one_line(words: str) -> str:
    return re.sub("[ \n]+", " ", words)


def values(document: str, quantity: Quantity) -> list[re.Match[str]]:
    """Return every place of a document where the quantity stands under one of its labels."""
    return [found for pattern in quantity.patterns for found in re.finditer(pattern, document)]


def differences(documents: dict[str, str], quantities: list[Quantity]) -> Iterator[str]:
    """Yield what is told otherwise than the JSON document has it, or is not told at all."""
    for quantity in quantities:
        for name, document in documents.items():
            told = {found.group(1) for found in values(document, quantity)}
            if name in quantity.documents and not told:
                yield f"{quantity.name}: not told in {name}"
            if told - {quantity.told}:
                yield f"{quantity.name}: {quantity.told}, but in {name} {sorted(told)}"


@pytest.fixture(scope="module")
def outlook(demo_flight: FlightFile, demo_sounding: Sounding) -> Outlook:
    sortie = gather_places(demo_flight).sortie
    pack = Pack(sounding=demo_sounding, terrain=gather_terrain(sortie))
    return plan(sortie, pack, Grain())


@pytest.fixture(scope="module")
def page(outlook: Outlook) -> str:
    return render_brief(outlook)


def test_the_card_of_the_demo_is_one_page(page: str, pages_of_card: Callable[[str], int]) -> None:
    assert pages_of_card(page) == 1


@pytest.fixture(scope="module")
def documents(outlook: Outlook, page: str) -> dict[str, str]:
    words = " ".join(_Words(page).words)
    return {"text": one_line(" ".join(answer_lines(outlook))), "brief": one_line(words)}


@pytest.fixture(scope="module")
def quantities(outlook: Outlook) -> list[Quantity]:
    plan_json = outlook.document()
    clock = FlightClock(launch_t_s=plan_json["launch_t_s"], zone=plan_json["zone"])
    made = (_burst, _release, _chance, _fields, _ends, _hand, _levels)
    return [one for quantities_of in made for one in quantities_of(plan_json, clock)]


def _burst(plan_json: dict[str, Any], clock: FlightClock) -> Iterator[Quantity]:
    heights, times = (
        plan_json["ascent"]["burst"][key] for key in ("height_amsl_m", "after_launch_s")
    )
    yield Quantity("median burst height", km_text(heights["p50"]), (f"5 in 10 below {KM}",))
    yield Quantity("early burst height", km_text(heights["p10"]), (f"1 in 10 below {KM}",))
    yield Quantity("late burst height", km_text(heights["p90"]), (rf"9 in 10 below {KM}\b",))
    half = (f"5 in 10 by {TIME}", f"5 in 10 have burst by {TIME}")
    yield Quantity("median burst time", clock.local(times["p50"]), half)
    late = (rf"1 in 10 by \d\d:\d\d, 5 in 10 by \d\d:\d\d, 9 in 10 by {TIME}",)
    yield Quantity("late burst time", clock.local(times["p90"]), late)
    grams = grams_text(plan_json["fill"]["neck_lift_kg"])
    row = rf"drift,? km.*? {grams} [^ ]+ "
    yield Quantity("burst height of the fill", km_text(heights["p50"]), (f"{row}{KM}",))
    yield Quantity("burst time of the fill", clock.local(times["p50"]), (rf"{row}[^ ]+ {TIME}",))


def bounds_of(plan_json: dict[str, Any]) -> list[float]:
    """Return the shares that class a chance."""
    return [plan_json[f"{name}_ratio"] for name in ("doubtful", "open", "enough")]


def _release(plan_json: dict[str, Any], clock: FlightClock) -> Iterator[Quantity]:
    release, field = plan_json["release"], plan_json["release"]["field"]
    window, by_s = release["window"], release["release_by_after_launch_s"]
    start, end = window["from_after_launch_s"], by_s  # the last order ends it, not the window
    yield Quantity("window", clock.span(start, end), (rf"going up about {SPAN}",), ("brief",))
    begins = (f"going up, about {TIME} to", f"km, about {TIME}, release by")
    yield Quantity("begin of the window", clock.local(start), begins)
    low = (f"release between {KM} and", f"from {KM} km, about", f"from ; {KM} ;")
    yield Quantity("lowest of the window", km_text(window["from_amsl_m"]), low)
    until = (rf"\bor at {TIME}", f"not there by {TIME}")
    yield Quantity("until", clock.local(release["until_after_launch_s"]), until)
    heights = f"{km_text(window['from_amsl_m'])} to {km_text(release['release_by_amsl_m'])}"
    within = (r"indow (?:[^,.]*\), )?([\d.]+ to [\d.]+) km",)
    yield Quantity("heights of the window", heights, within, ("brief",))
    by = (
        rf"[Rr]elease by [\d.]+ km,? \(?about {TIME}",
        rf"going up, about \d\d:\d\d to {TIME}",
        f"{TIME} release by",
        f"get it back until {TIME}",
    )
    yield Quantity("release by", clock.local(by_s), by)
    near = (f"[Rr]elease by {KM} km", f"release between [\\d.]+ and {KM} km", f"by ; {KM} ; from")
    yield Quantity("height of release by", km_text(release["release_by_amsl_m"]), near)
    yield Quantity(
        "to spare",
        km_text(release["spare_m"], 0),
        (rf"reaches {field} with {KM} km of height to spare",),
    )
    over = (rf"over {field}, flown the quickest way {TIME}", rf"quickest: over {field} {TIME}")
    yield Quantity("over the field", clock.local(release["over_field_after_launch_s"]), over)
    sun = plan_json["sun"]
    yield Quantity(
        "sun", bearing_text(sun["azimuth_deg"]), (r"[Ss]un (?:at \S+(?: \S+)? )?bears (\S+),",)
    )


def _chance(plan_json: dict[str, Any], clock: FlightClock) -> Iterator[Quantity]:
    release, field = plan_json["release"], plan_json["release"]["field"]
    chance = (
        rf"the chance of coming home to {field} is {ODDS} if",
        f"as planned {ODDS}",
        f"not waiting {ODDS}",
    )
    bounds = bounds_of(plan_json)
    chance_told = chance_words(release["chance_ratio"], bounds)
    yield Quantity("chance of the release", chance_told, chance)
    record = (f"by your tests of both at least {ODDS}", f"record of releases: {ODDS}")
    yield Quantity("chance with the record", at_least_words(release["product_ratio"]), record)
    clock_chance = chance_words(release["by_clock_ratio"], bounds)
    yield Quantity(
        "chance by the clock",
        clock_chance,
        (rf"by the clock alone, at \d\d:\d\d, the chance is {ODDS}",),
    )
    burst = (rf"{ODDS} burst before [\d.]+ km",)
    yield Quantity("burst before", chance_words(release["burst_ratio"]), burst)
    late = clock.local(plan_json["latest_launch_delay_s"])
    yield Quantity("latest launch", late, (f"[Ll]atest launch {TIME}",))
    shut = duration_words(plan_json["as_planned"]["shut_s"])
    told = (r"shut or doubtful for \d+ min instead of (\d+ min)", rf"as planned {SOME} (\d+ min)")
    yield Quantity("not open", shut, told)


def _fields(plan_json: dict[str, Any], clock: FlightClock) -> Iterator[Quantity]:
    (gap,) = plan_json["gaps"]
    span = clock.span(gap["from_after_launch_s"], gap["to_after_launch_s"])
    yield Quantity("no field open", span, (f"no field open {SPAN}",), ("brief",))
    best = chance_words(gap["best_ratio"], bounds_of(plan_json))
    told = (rf"\([A-Z][^(,]* comes nearest, {ODDS} on average",)
    yield Quantity("best meanwhile", best, told)
    for n, field in enumerate(plan_json["fields"], start=1):
        shut = [band for band in field["bands"] if band["state"] == "shut"]
        first = clock.span(shut[0]["from_after_launch_s"], shut[0]["to_after_launch_s"])
        table = rf"{n} {field['name']} shut \d+–\d+ {SPAN}"
        strip = rf"{n} {field['name']} ; +shut {SPAN}"
        yield Quantity(f"first shut of {field['name']}", first, (table, strip))
    home, last = plan_json["fields"][0], None
    for band in home["bands"]:
        last = band if band["state"] == "shut" else last
    assert last is not None
    begins, ends = clock.local(last["from_after_launch_s"]), clock.local(last["to_after_launch_s"])
    yield Quantity(
        "home shuts", begins, (rf"Released from {TIME} to", rf"{TIME} {home['name']} shuts")
    )
    again = (rf"Released from \d\d:\d\d to {TIME}", f"{TIME} no longer shut")
    yield Quantity("home is no longer shut", ends, again)


def _ends(plan_json: dict[str, Any], clock: FlightClock) -> Iterator[Quantity]:
    sun, (pack,) = plan_json["sun"], plan_json["packs"]
    for name, after_s in (
        ("packs end", pack["after_launch_s"]["p50"]),
        ("sunset", sun["sunset_after_launch_s"]),
        ("dusk", sun["dusk_after_launch_s"]),
    ):
        yield Quantity(name, clock.local(after_s), (rf"\b{name} (?:T\S+ )?{TIME}",))
    sets = clock.local(sun["sunset_after_launch_s"])
    yield Quantity("the sun sets", sets, (f"; sets {TIME}",), ("brief",))
    timely = plan_json["release"]["timely"]
    down = (rf"most height in time: down {TIME}", rf"down in the firm spiral[^:]*, landed {TIME}")
    yield Quantity("down in time", clock.local(timely["down_after_launch_s"]), down)


def _hand(plan_json: dict[str, Any], clock: FlightClock) -> Iterator[Quantity]:
    hang = grams_text(plan_json["fill"]["neck_lift_kg"])
    yield Quantity("hang", hang, ("[Hh]ang ([^ ]+) g on the neck: it must",))
    litres = number_text(plan_json["fill"]["volume_m3"], 2)
    yield Quantity("gas", litres, (r"([\d.]+) m³ of hydrogen", r"Gas: ([\d.]+) m³"))
    far = number_text(plan_json["ascent"]["farthest_km"])
    yield Quantity("drift", far, (rf"farthest {KM} km", f"Drift {KM} km", f"at most {KM} km from"))
    car = plan_json["car"]
    off = (rf"for {car['stand']} by {TIME} \(\d", f"leave by {TIME} for {car['stand']}")
    yield Quantity("set off", clock.local(max(car["set_off_after_launch_s"], 0.0)), off)
    for left in plan_json["seconds_left"]:
        told = f"{number_text(10 * int(left['seconds_s'] // 10))} s"  # thousands set apart
        spot = rf"{left['field']}(?: stays in reach)?(?: for)?"
        place = (rf"(?:for|,|for field|s|km|reach:) {spot} (\d+(?:\s\d+)? s)\b",)
        yield Quantity(f"seconds left for {left['field']}", told, place)


def _levels(plan_json: dict[str, Any], clock: FlightClock) -> Iterator[Quantity]:
    levels = plan_json["ascent"]["levels"]
    passages = " ".join(clock.local(level["after_launch_s"]["p50"]) for level in levels)
    card = (rf"\blocal +((?:\d\d:\d\d +){{{len(levels) - 1}}}\d\d:\d\d) +UTC \d",)
    yield Quantity("times of the call card", passages, card, ("brief",))
    for level in levels:
        name, after_s = f"FL{level['flight_level']}", level["after_launch_s"]["p50"]
        yield Quantity(name, clock.local(after_s), (rf"{name}(?: at)? (?:T\S+ )?{TIME}",))


def test_text_and_brief_tell_what_the_json_document_holds(
    documents: dict[str, str], quantities: list[Quantity]
) -> None:
    assert len(quantities) > 40
    assert list(differences(documents, quantities)) == []


def test_a_second_value_for_any_quantity_is_found(
    documents: dict[str, str], quantities: list[Quantity]
) -> None:
    for quantity in quantities:
        for name in quantity.documents:
            for place in values(documents[name], quantity):
                start, end = place.span(1)
                words = re.sub(r"\d", lambda digit: str((int(digit[0]) + 1) % 10), place.group(1))
                words = "never" if words == place.group(1) else words
                document = documents[name]
                planted = {**documents, name: document[:start] + words + document[end:]}
                assert any(quantity.name in one for one in differences(planted, quantities))


def test_the_pictures_draw_the_burst_where_the_text_has_it(outlook: Outlook, page: str) -> None:
    spread = outlook.document()["ascent"]["burst"]["height_amsl_m"]
    drawn = re.findall(r"<svg[^>]*?aria-label=\"Launch.*?</svg>", page, flags=re.S)
    assert len(drawn) > 2
    finest_m = np.inf
    for svg in drawn:
        ground, five, *_ = _lines(svg, 'class="s-rule" stroke-width="1.1"')
        burst = _lines(svg, 'class="s-burst" stroke-width="1.9" data-burst="on-paper"')
        _, half, _ = sorted(set(burst))
        half_m = 5000.0 * (half - ground) / (five - ground)
        # each line is drawn to a hundredth of a pixel, half of it either way
        rounded_m = 5000.0 * 0.01 * (1.0 + half_m / 5000.0) / abs(five - ground)
        assert half_m == pytest.approx(spread["p50"], abs=rounded_m)
        finest_m = min(finest_m, rounded_m)
    assert finest_m < 12.0  # of 30 km, in the largest


def test_the_chart_s_clock_is_that_of_the_fields_table(outlook: Outlook, page: str) -> None:
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    steps = outlook.fields[0].steps
    heights, times = zip(*((one.amsl_m, one.after_launch_s) for one in steps), strict=True)
    passed = {clock.local(0.0)} | {
        clock.local(float(np.interp(1000.0 * km, heights, times))) for km in range(5, 35, 5)
    }
    drawn = re.findall(r"<svg[^>]*?aria-label=\"Launch.*?</svg>", page, flags=re.S)
    assert drawn
    for svg in drawn:
        told = re.findall(r">(\d\d:\d\d)<", svg)
        assert len(told) > 3
        assert set(told) <= passed


def _lines(svg: str, style: str) -> list[float]:
    """Return where level lines of a style stand, in the order in which they are drawn."""
    return [float(y) for y in re.findall(rf'<line x1="[^"]*" y1="([^"]*)"[^>]*? {style}/>', svg)]


def test_the_json_document_has_one_burst(outlook: Outlook) -> None:
    burst = outlook.document()["ascent"]["burst"]
    for table, spread in (("by_height", "height_amsl_m"), ("by_time", "after_launch_s")):
        (low, below), (high, above) = next(
            (one, other)
            for one, other in zip(burst[table], burst[table][1:], strict=False)
            if one[1] < 0.5 <= other[1]
        )
        half = low + (high - low) * (0.5 - below) / (above - below)
        assert half == pytest.approx(burst[spread]["p50"], abs=0.01)
