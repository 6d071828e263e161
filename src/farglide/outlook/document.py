"""Documented: an answer as JSON has it, key for key."""

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Documented:
    """An answer that can be written as one JSON document."""

    def document(self) -> dict[str, Any]:
        """Return the whole answer as JSON-ready values, NaN as None."""
        return {key: _clean(value) for key, value in asdict(self).items()}


def _clean(value: object) -> object:
    """Return a value as JSON has it: no tuples, no NaN, six decimals."""
    if isinstance(value, dict):
        return {key: _clean(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_clean(item) for item in value]
    if isinstance(value, float):
        return round(value, 6) if value == value and abs(value) != float("inf") else None
    return value
