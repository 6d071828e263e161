"""The page on the JSON document: every key of every object, with unit and meaning, and no other."""

import re
from dataclasses import fields, is_dataclass
from pathlib import Path
from types import UnionType
from typing import Any, get_args, get_type_hints

from farglide.outlook.advice import Advice
from farglide.outlook.asked import CallNow, FaultNow, HandNow, PowerNow, SunNow
from farglide.outlook.askedafter import CallAfter, FaultAfter, LandedNow, ParkAfter
from farglide.outlook.askedcar import LostNow, ParkNow, PictureNow
from farglide.outlook.askedways import BarrierNow, PutdownNow, SpeedNow
from farglide.outlook.outlook import Outlook
from farglide.outlook.packview import PackOutlook
from farglide.outlook.review import Review
from farglide.outlook.search import SearchOutlook
from farglide.outlook.season import SeasonOutlook

PAGE = (Path(__file__).parents[2] / "docs" / "json.rst").read_text(encoding="utf-8")
SECTION = re.compile(r"^(\w+)\n-{3,}\n(.*?)(?=^\w+\n-{3,}\n|\Z)", re.DOTALL | re.MULTILINE)
ROW = re.compile(r"^   \* - ``(\w+)``\n     - (.+)\n     - (.+)$", re.MULTILINE)
ASKED = (
    SunNow, PowerNow, ParkNow, LostNow, PictureNow, CallNow, SpeedNow, BarrierNow, PutdownNow,
    FaultNow, HandNow, ParkAfter, CallAfter, FaultAfter, LandedNow,
)  # fmt: skip
UNITS = {
    "_s": "s", "_m": "m", "_km": "km", "_mps": "m/s", "_kg": "kg", "_m3": "m³", "_deg": "°",
    "_ratio": "share",
}  # fmt: skip


def inner_classes(hint: Any) -> list[type]:
    """Return the dataclasses inside a type hint."""
    if isinstance(hint, type) and is_dataclass(hint):
        return [hint]
    parts = get_args(hint) if isinstance(hint, UnionType) or get_args(hint) else ()
    return [found for part in parts for found in inner_classes(part)]


def reachable(root: type) -> dict[str, type]:
    """Return every dataclass that a document of this class is made of, by name."""
    found: dict[str, type] = {}
    waiting = [root]
    while waiting:
        here = waiting.pop()
        if here.__name__ not in found:
            found[here.__name__] = here
            for hint in get_type_hints(here).values():
                waiting += inner_classes(hint)
    return found


def documents() -> dict[str, type]:
    """Return every dataclass that the documents of plan, search, ask and review are made of."""
    found = dict[str, type]()
    for one in (Outlook, SearchOutlook, Advice, *ASKED, Review, SeasonOutlook, PackOutlook):
        found |= reachable(one)
    return found


def described() -> dict[str, dict[str, tuple[str, str]]]:
    return {
        name: {key: (unit, meaning) for key, unit, meaning in ROW.findall(text)}
        for name, text in SECTION.findall(PAGE)
    }


def test_every_key_is_described_and_no_other() -> None:
    page = described()
    classes = documents()
    assert set(page) == set(classes)
    for name, one in classes.items():
        assert list(page[name]) == [field.name for field in fields(one)], name


def test_units_agree_with_the_keys() -> None:
    for name, rows in described().items():
        for key, (unit, meaning) in rows.items():
            assert len(meaning) > 5, f"{name}.{key}"
            endings = [end for end in UNITS if key.endswith(end)]
            if endings and not unit.startswith("list"):
                ending = max(endings, key=len)
                told = re.split(r", | or ", unit.replace("ratio", "share"))
                assert UNITS[ending] in told, f"{name}.{key}: {unit}"


def test_kinds_agree_with_the_classes() -> None:
    for name, one in documents().items():
        hints = get_type_hints(one)
        for key, (unit, _) in described()[name].items():
            for inner in inner_classes(hints[key]):
                assert inner.__name__ in unit, f"{name}.{key}"
            if type(None) in get_args(hints[key]):
                assert "null" in unit, f"{name}.{key}"
