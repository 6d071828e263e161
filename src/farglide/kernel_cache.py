"""Kernel cache: each compiled kernel is kept with its checksum; a damaged one counts as none.

A flipped bit in machine code would give a wrong number without a word, or end the process.
"""

import hashlib
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, Self

from numba.core.caching import (
    CompileResultCacheImpl,
    FunctionCache,
    IndexDataCacheFile,
    UserProvidedCacheLocator,
)

_DIGEST_BYTES: Final = hashlib.sha256().digest_size


def keep(kernel: Any) -> Any:
    """Return a kernel that is taken from the folder of compiled ones, and put there once compiled.

    What cannot be written is compiled again next time.
    """
    kernel._cache = _Cache(kernel.py_func)
    return kernel


class _Locator(UserProvidedCacheLocator):
    """Where the compiled kernels of a source file are kept; it need not be writable."""

    @classmethod
    def from_function(cls, py_func: Callable[..., Any], py_file: str) -> Self:
        return cls(py_func, py_file)

    def ensure_cache_path(self) -> None:
        Path(self.get_cache_path()).mkdir(parents=True, exist_ok=True)


class _Impl(CompileResultCacheImpl):
    _locator_classes = [_Locator]  # noqa: RUF012


class _Cache(FunctionCache):
    """The kept forms of one kernel."""

    _impl_class = _Impl

    def __init__(self, py_func: Callable[..., Any]) -> None:
        super().__init__(py_func)
        self._cache_file = _Files(
            cache_path=self._cache_path,
            filename_base=self._impl.filename_base,
            source_stamp=self._impl.locator.get_source_stamp(),
        )

    def _save_overload(self, sig: Any, data: Any) -> None:
        try:
            super()._save_overload(sig, data)
        except OSError:  # read-only, or the disk is full: compiled again next time
            return


class _Files(IndexDataCacheFile):
    """The files of one kernel, each behind its own checksum."""

    def _load_index(self) -> dict[Any, str]:
        try:
            version, stamp, overloads = self._opened(self._index_path)
        except OSError:
            return {}
        is_fresh = (version, stamp) == (self._version, self._source_stamp)
        return overloads if is_fresh else {}

    def _save_index(self, overloads: dict[Any, str]) -> None:
        self._closed(self._index_path, (self._version, self._source_stamp, overloads))

    def _load_data(self, name: str) -> Any:
        return self._opened(self._data_path(name))

    def _save_data(self, name: str, data: Any) -> None:
        self._closed(self._data_path(name), data)

    def _opened(self, path: str) -> Any:
        """Return what a file holds; raise `OSError` where it is not as it was written."""
        data = Path(path).read_bytes()
        digest, body = data[:_DIGEST_BYTES], data[_DIGEST_BYTES:]
        if hashlib.sha256(body).digest() != digest:
            raise OSError(f"{path} is damaged")
        return pickle.loads(body)

    def _closed(self, path: str, held: Any) -> None:
        body = self._dump(held)
        with self._open_for_write(path) as file:
            file.write(hashlib.sha256(body).digest() + body)
