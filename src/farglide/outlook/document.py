"""Documented: an answer as JSON has it, key for key."""

from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Documented:
    """An answer that can be written as one JSON document."""

    def document(self) -> dict[str, Any]:
        """Return the whole answer as JSON-ready values, NaN as None."""
        return _fields(self)


def _clean(value: object) -> object:
    """Return a value as JSON has it: no tuples, no NaN, six decimals."""
    if value is None or isinstance(value, str | int):
        return value
    if isinstance(value, float):
        return round(value, 6) if value == value and abs(value) != float("inf") else None
    if isinstance(value, list | tuple):
        return [_clean(item) for item in value]
    if isinstance(value, dict):
        return {key: _clean(item) for key, item in value.items()}
    return _fields(value) if is_dataclass(value) else value


def _fields(value: object) -> dict[str, Any]:
    kind: Any = type(value)
    return {name: _clean(getattr(value, name)) for name in _names(kind)}


@cache
def _names(kind: Any) -> tuple[str, ...]:
    """Return the names of the fields of a dataclass."""
    return tuple(one.name for one in fields(kind))
