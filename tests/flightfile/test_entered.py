"""A parsed file read section by section."""

import math
import tomllib
from dataclasses import dataclass, replace

import pytest

from farglide.errors import Problem
from farglide.flightfile.entered import read_entries
from farglide.flightfile.entries import Entries, Section
from farglide.flightfile.reading.endings import ANGLE, MASS
from farglide.flightfile.reading.keys import Quantity, choice, needed, shares
from farglide.flightfile.reading.lists import PairTable
from farglide.sortie.known import Known

TABLE = PairTable(
    key="curve",
    n_rows=(1, 3),
    shape="a list of 1 to 3 pairs",
    example="Write curve = [[1, 2]].",
    first=(0.0, 10.0),
    second=(0.0, 10.0),
    allowed="0 to 10 both",
    unsorted="first numbers",
    sort="Sort them.",
)
KITE = Section(
    name="kite",
    rows=(
        needed("mass", MASS, (0.1, 2.0), "it weighs", doubt=shares(0.1, 0.2, 0.3)),
        Quantity("tail", MASS, (0.0, 1.0), "its tail weighs"),
    ),
    texts=("name", "note"),
    choices={"shape": (("box", "delta"), "delta")},
    tables=(TABLE,),
)
SPOT = Section(
    name="spots",
    noun="spot",
    rows=(
        needed("lat", ANGLE, (-90.0, 90.0), "it lies at latitude"),
        needed("lon", ANGLE, (-180.0, 180.0), "and longitude"),
        choice("turn", ANGLE, (0.0, 90.0), "one turns by", 45.0),
    ),
    texts=("name",),
    lists=("needs",),
    counts=("n_visits",),
)
SHAPED = Section(name="kite.tails", noun="tail", texts=("name",))


def entries_of(text: str) -> tuple[Entries, list[str]]:
    problems: list[Problem] = []
    entries = read_entries(tomllib.loads(text), (KITE, SPOT, SHAPED), problems)
    return entries, [str(problem) for problem in problems]


def test_one_section_and_several_are_read() -> None:
    text = """
    [kite]
    name = "Red"
    mass_g = 500
    curve = [[0, 1], [2, 3]]
    [[spots]]
    lat_deg = 47
    lon_deg = 8
    needs = ["line"]
    n_visits = 2
    [[spots]]
    name = "Hill"
    lat_deg = 46
    lon_deg = 9
    """
    entries, problems = entries_of(text)
    assert not problems
    kite = entries.the("kite")
    assert (kite.name, kite.texts) == ("Red", {"note": "", "shape": "delta"})
    assert (kite.value("mass_kg"), kite.known("mass_kg").sd) == (0.5, 0.05)
    assert (kite.given("tail_kg"), kite.stated("tail_kg")) == (False, None)
    assert kite.known_if_given("tail_kg") is None
    assert kite.known_if_given("mass_kg") == kite.known("mass_kg")
    assert kite.tables == {"curve": ((0.0, 1.0), (2.0, 3.0))}
    first, hill = entries.of["spots"]
    assert (first.name, hill.name, hill.place) == ("spot 1", "Hill", (46.0, 9.0))
    assert (first.lists, first.counts) == ({"needs": ("line",)}, {"n_visits": 2})
    assert (first.value("lat_deg"), first.value("turn_deg")) == (47.0, 45.0)
    assert entries.of["kite.tails"] == []


@dataclass(frozen=True, kw_only=True)
class _Kite:
    name: str
    shape: str
    mass_kg: Known
    tail_kg: float | None
    cord_m: float = 20.0
    curve: object = None


def test_a_spec_takes_what_stands_under_the_names_of_its_fields() -> None:
    entries, _ = entries_of('[kite]\nname = "Red"\nmass_kg = 0.5\nshape = "delta"')
    kite = entries.the("kite")
    bare = _Kite(name="Red", shape="delta", mass_kg=kite.known("mass_kg"), tail_kg=None)
    assert kite.spec(_Kite) == bare
    other = kite.spec(_Kite, mass_kg=Known(value=2.0), tail_kg=0.1, curve=())
    assert other == replace(bare, mass_kg=Known(value=2.0), tail_kg=0.1, curve=())


def test_a_section_may_stand_within_another() -> None:
    entries, problems = entries_of("[kite]\nmass_kg = 1\n[[kite.tails]]\nname = 'long'")
    assert [one.name for one in entries.of["kite.tails"]] == ["long"]
    # whoever reads the outer section knows the key, as the glider knows its timed glides
    assert problems == ["[kite] tails: is not a key of this section. Did you mean tail_g?"]


def test_what_is_refused_is_no_number() -> None:
    entries, problems = entries_of("[kite]\nmass_kg = 100")
    assert problems == ["[kite] mass_kg: is 100 kg; allowed: 0.1 to 2 kg. Is that grams? "
                        "Write mass_g = 100."]  # fmt: skip
    assert math.isnan(entries.the("kite").value("mass_kg"))
    assert entries.the("kite").stated("mass_kg") is None


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("kite = 1", "[kite]: is not a section. Write [kite] on a line of its own and"),
        ("spots = 1", "[[spots]]: is not a list of sections. Write [[spots]], in double"),
        ("[spots]", "[[spots]]: is not a list of sections. Write [[spots]], in double"),
        ("[kit]", "[kit]: is not a section of a flight file. Did you mean kite?"),
        ("[xyzzy]", "[xyzzy]: is not a section of a flight file. Sections: kite, spots."),
        ("[kite]\nlat_deg = 3", "[kite] lat_deg: is not a key of this section. It belongs in"),
    ],
)
def test_sections_of_another_shape_are_refused(text: str, problem: str) -> None:
    assert any(told.startswith(problem) for told in entries_of(text)[1])


def test_more_entries_than_anybody_prepares_are_one_problem() -> None:
    entries, problems = entries_of("[[spots]]\n" * 80_000)
    assert entries.of["spots"] == []
    assert "[[spots]]: stands 80000 times; allowed: up to 500." in problems[-1]
    many = "".join(f'[[spots]]\nname = "{i}"\nlat_deg = 1\nlon_deg = 2\n' for i in range(500))
    assert len(entries_of(many)[0].of["spots"]) == 500


def test_of_many_strange_keys_and_sections_the_first_are_told() -> None:
    keys = "".join(f"k{i} = 1\n" for i in range(1000))
    _, problems = entries_of(f"[kite]\nmass_kg = 1\n{keys}")
    assert len(problems) == 51
    assert problems[-1] == "[kite]: has 950 more keys that it does not know."
    _, problems = entries_of("[kite]\nmass_kg = 1\n" + "".join(f"[s{i}]\n" for i in range(1000)))
    assert len(problems) == 51
    assert "the file: has 950 more sections that are none of a flight file" in problems[-1]
