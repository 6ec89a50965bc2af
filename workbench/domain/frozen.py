"""An immutable mapping whose changes are new mappings that share their values.

A project is a value: every record in it is frozen, and so must be the mappings that hold them. A
`FrozenMap` compares and hashes by content, keeps the order in which keys were first set, and
answers `set` and `drop` with a new map. Maps here hold tens to hundreds of keys, so copying one is
cheaper than any cleverer structure would be.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping
from typing import TypeVar

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")


class FrozenMap(Mapping[K, V]):
    """A mapping that never changes; `set` and `drop` answer new ones."""

    __slots__ = ("_hash", "_items")

    _items: dict[K, V]
    _hash: int | None

    def __init__(self, items: Mapping[K, V] | Iterable[tuple[K, V]] = ()) -> None:
        self._items = dict(items)
        self._hash = None

    def __getitem__(self, key: K) -> V:
        return self._items[key]

    def __iter__(self) -> Iterator[K]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def __contains__(self, key: object) -> bool:
        return key in self._items

    def __eq__(self, other: object) -> bool:
        if self is other:
            return True
        if isinstance(other, FrozenMap):
            return self._items == other._items
        return NotImplemented

    def __hash__(self) -> int:
        if self._hash is None:
            self._hash = hash(frozenset(self._items.items()))
        return self._hash

    def __repr__(self) -> str:
        return f"FrozenMap({self._items!r})"

    def set(self, key: K, value: V) -> FrozenMap[K, V]:
        """The same map with `value` at `key`; itself when that is there already."""
        if key in self._items and self._items[key] is value:
            return self
        return FrozenMap({**self._items, key: value})

    def drop(self, key: K) -> FrozenMap[K, V]:
        """The same map without `key`; itself when it was not there."""
        if key not in self._items:
            return self
        return FrozenMap({k: v for k, v in self._items.items() if k != key})
