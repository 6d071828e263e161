"""Reader: one section of a flight file, read and checked key by key, every problem noted."""

import difflib
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from farglide.errors import Problem, is_number
from farglide.flightfile.reading.endings import RATIO, si_value, unit_question, unit_text
from farglide.flightfile.reading.keys import Numbers, Quantity, Stated, StatedSpread
from farglide.flightfile.reading.meant import bare_number, plain, tidy
from farglide.sortie.known import Tag
from farglide.units import CELSIUS_ZERO_K

MOST_STRANGE: Final = 50
"""How many unknown keys or sections are told one by one."""
_LONGEST_TEXT: Final = 200


@dataclass(slots=True)
class Reader:
    """One table of the file being read; every problem met goes to `problems`, none stops it."""

    title: str  # "[balloon]", as the file shows it
    table: Mapping[str, object]
    problems: list[Problem]
    known_keys: set[str] = field(default_factory=set)
    units_of: dict[str, tuple[str, ...]] = field(default_factory=dict)  # base -> ways to write it

    def refuse(self, key: str, what: str, remedy: str = "") -> None:
        """Note a problem with one key."""
        self.problems.append(Problem(f"{self.title} {key}".strip(), what, remedy))

    def refuse_value(self, key: str, told: str, allowed: str, remedy: str = "") -> None:
        """Note a value that is not allowed, told with its unit behind it."""
        where = f"{self.title} {key}".strip()
        self.problems.append(Problem.of_value(where, told, allowed, remedy))

    def raw(self, key: str, default: object = None) -> Any:
        """Return what stands under a key, which is known from now on; the default without it."""
        self.known_keys.add(key)
        return self.table.get(key, default)

    def numbers(self, quantities: Sequence[Quantity]) -> Numbers:
        """Return every quantity of a section by its SI key."""
        guesses = self._origins("guesses", quantities)
        typical = self._origins("typical", quantities)
        for name in sorted(guesses & typical):
            self.refuse("typical", f'"{name}" stands in guesses too.', "Keep it in one list.")
        tags = dict.fromkeys(typical, Tag.TYPICAL) | dict.fromkeys(guesses, Tag.GUESS)
        return {one.key: self._stated(one, tags.get(one.key)) for one in quantities}

    def text(self, key: str) -> str:
        """Return a text, an empty one where the key is missing."""
        value = self.raw(key, "")
        if not isinstance(value, str):
            remedy = f'Write it in quotes: {key} = "..."'
            self.refuse(key, f"is {tidy(value)}, not a text.", remedy)
            return ""
        if len(value) > _LONGEST_TEXT or not value.isprintable():
            allowed = f"one line of up to {_LONGEST_TEXT} characters"
            is_path = key == "file" or key.endswith("_file")
            remedy = "In a path write / in place of \\." if is_path else ""
            self.refuse_value(key, tidy(ascii(value)), allowed, remedy)
            return ""
        return value.strip()

    def choice(
        self, key: str, allowed: Sequence[str], default: str | None, why_not: str = ""
    ) -> str:
        """Return one of the allowed words; without a default the key is required.

        `why_not`: what to tell of a word that is none of them.
        """
        value, listed = self.raw(key), " or ".join(f'"{word}"' for word in allowed)
        if value is None:
            if default is None:
                self.refuse(key, "is missing.", f"Write {key} = {listed}.")
            return default or allowed[0]
        word = value.strip().lower() if isinstance(value, str) else value
        if isinstance(word, str) and word in allowed:
            return word
        if why_not:
            self.refuse(key, f"is {tidy(value)}: {why_not}")
            return default or allowed[0]
        near = difflib.get_close_matches(str(word), allowed, n=1)
        remedy = f'Did you mean "{near[0]}"?' if near else ""
        self.refuse_value(key, tidy(value), listed, remedy)
        return default or allowed[0]

    def count(self, key: str) -> int:
        """Return a whole number of 0 or more, 0 where the key is missing."""
        value = self.raw(key, 0)
        if isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= 100_000:
            return value
        self.refuse_value(key, tidy(value), "a whole number, 0 to 100000")
        return 0

    def finish(self, elsewhere: Mapping[str, str]) -> None:
        """Note each key that nobody asked for, with the key that was probably meant.

        `elsewhere`: keys of other sections and where they belong.
        """
        strange = [key for key in self.table if key not in self.known_keys]
        for key in strange[:MOST_STRANGE]:
            what = "is not a key of this section."
            self.refuse(tidy(key).strip('"'), what, self._hint(key, elsewhere))
        if len(strange) > MOST_STRANGE:
            self.refuse("", f"has {len(strange) - MOST_STRANGE} more keys that it does not know.")

    def _stated(self, quantity: Quantity, tag: Tag | None) -> Stated:
        self.known_keys.update(quantity.keys, quantity.spread_keys)
        self.units_of[quantity.base] = (*self.units_of.get(quantity.base, ()), *quantity.keys)
        present = self._present(quantity.keys)
        value = math.nan if quantity.default is None or present else quantity.default
        if len(present) == 1:
            value = self._value(quantity, present[0])
        elif not present and quantity.required:
            unit = "mhz" if "mhz" in quantity.units else quantity.unit
            allowed = f"Allowed: {quantity.range_text(unit)}."
            self.refuse(quantity.key_in(unit), "is missing.", allowed)
        origin = tag or (Tag.MEASURED if present else quantity.tag)
        blank = Stated(
            value=value,
            sd=0.0,
            tag=origin,
            given=bool(present),
            spread=self._spread(quantity),
            tagged=tag is not None,
            doubt=quantity.doubt,
            written=present[0] if present else "",
            unit_si=quantity.si_of(present[0]) if present else 1.0,
        )
        return blank.filled(value, origin)

    def _present(self, keys: Iterable[str]) -> list[str]:
        """Return which ways to write one quantity are there; more than one are refused."""
        found = [key for key in keys if key in self.table]
        if len(found) > 1:
            self.refuse(" and ".join(found), "are the same quantity.", "Keep one of them.")
        return found

    def _value(self, quantity: Quantity, key: str) -> float:
        number, unit = self._finite(key, self.table[key]), quantity.keys[key]
        value = si_value(number, quantity.units[unit])
        if math.isnan(value) or quantity.holds(value):
            return value
        told, allowed = f"{plain(number)}{unit_text(unit)}", quantity.range_text(unit)
        self.refuse_value(key, told, allowed, self._ask(quantity, unit, number))
        return math.nan

    def _ask(self, quantity: Quantity, unit: str, number: float) -> str:
        """Return the question that a number fitting another unit, or another sign, raises."""
        for other, scale in quantity.units.items():
            if other != unit and quantity.holds(si_value(number, scale)):
                written = f"{quantity.key_in(other)} = {plain(number)}"
                return f"Is that {unit_question(other)}? Write {written}."
        kelvin = number - CELSIUS_ZERO_K
        if unit == "celsius" and quantity.holds(kelvin):
            return f"Is that kelvins? Write {quantity.key_in(unit)} = {plain(kelvin)}."
        if quantity.base == "lon" and 180.0 < number < 360.0:
            return f"West is negative: write lon_deg = {plain(number - 360.0)}."
        if quantity.holds(si_value(-number, quantity.units[unit])) and number:
            return f"Is the sign right? {quantity.key_in(unit)} = {plain(-number)} would fit."
        return ""

    def _spread(self, quantity: Quantity) -> StatedSpread | None:
        present = self._present(quantity.spread_keys)
        if len(present) != 1:
            return None
        key, unit = present[0], quantity.spread_keys[present[0]]
        number, scale = self._finite(key, self.table[key]), quantity.spread_units[unit]
        size = si_value(number, scale)
        limit = 1.0 if unit in RATIO else quantity.span[1] - quantity.span[0]
        if not 0.0 <= size <= limit and not math.isnan(number):
            top = plain(limit / si_value(1.0, scale))
            self.refuse_value(key, f"{plain(number)}{unit_text(unit)}", f"0 to {top}")
        return StatedSpread(size=size, is_share=unit in RATIO)

    def _finite(self, key: str, value: object) -> float:
        if not is_number(value):
            remedy = f"Write the bare number: {key} = {bare_number(value, key)}"
            self.refuse(key, f"is {tidy(value)}, not a number.", remedy)
            return math.nan
        if abs(value) > 1e300 or value != value:
            self.refuse_value(key, tidy(value), "a finite number")
            return math.nan
        return float(value)

    def _origins(self, key: str, quantities: Sequence[Quantity]) -> set[str]:
        """Return the SI keys named in the list of guesses or of typical values."""
        named = self.raw(key, [])
        if not isinstance(named, list):
            self.refuse(key, f"is {tidy(named)}, not a list.", f'Write {key} = ["..."].')
            return set()
        ways = {way: one for one in reversed(quantities) for way in (one.base, *one.keys)}
        found: set[str] = set()
        for name in named:
            if not isinstance(name, str) or name not in ways:
                near = _near(str(name), ways)
                remedy = f'Did you mean "{near}"?' if near else ""
                self.refuse(key, f"names {tidy(name)}, which this section does not hold.", remedy)
            elif not any(way in self.table for way in (*ways[name].keys, *ways[name].spread_keys)):
                remedy = "Write the number, or take the name out: what is left out is a guess."
                self.refuse(key, f'names "{name}", which is not stated.', remedy)
            else:
                found.add(ways[name].key)
        return found

    def _hint(self, key: str, elsewhere: Mapping[str, str]) -> str:
        if key.endswith("_mah"):
            return "Milliamp-hours alone are no energy: energy_wh = mAh × volts / 1000."
        bases = [base for base in self.units_of if key == base or key.startswith(f"{base}_")]
        base = max(bases, key=len, default="")
        if base and "_spread" not in key.removeprefix(base):
            return f"Allowed: {' or '.join(self.units_of[base])}."
        if key in elsewhere:
            return f"It belongs in {elsewhere[key]}."
        near = _near(key, self.known_keys)
        if near:
            return f"Did you mean {near}?"
        return f"Keys of this section: {', '.join(sorted(self.known_keys))}."


def _near(name: str, names: Iterable[str]) -> str:
    found = difflib.get_close_matches(name, list(names), n=1, cutoff=0.7)
    return found[0] if found else ""
