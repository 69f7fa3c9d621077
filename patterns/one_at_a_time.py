"""Files that are read one at a time: a pattern's photographs together may be larger than the memory."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping


class OneAtATime(Mapping[str, bytes]):
    """Files by name, each read whenever it is asked for and never held; some may be others instead.

    >>> files = OneAtATime(["a", "b"], str.encode, {"b": b"other", "c": b"more"})
    >>> dict(files)
    {'a': b'a', 'b': b'other', 'c': b'more'}
    """

    __slots__ = ("_instead", "_names", "_read")

    def __init__(
        self,
        names: Iterable[str],
        read: Callable[[str], bytes],
        instead: Mapping[str, bytes] | None = None,
    ) -> None:
        self._instead = dict(instead or {})
        self._names = tuple(dict.fromkeys((*names, *self._instead)))
        self._read = read

    def __getitem__(self, name: str) -> bytes:
        """Read one file; a KeyError where there is none of that name."""
        if name in self._instead:
            return self._instead[name]
        if name not in self._names:
            raise KeyError(name)
        return self._read(name)

    def __contains__(self, name: object) -> bool:
        """Tell whether there is a file of that name, without reading it."""
        return name in self._names

    def __iter__(self) -> Iterator[str]:
        """Yield the names."""
        return iter(self._names)

    def __len__(self) -> int:
        """Return how many files there are."""
        return len(self._names)
