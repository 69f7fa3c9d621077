"""A disk that loses power: records file operations, then says what may be left after each one.

What is known to be on the disk is only what was forced there: bytes of a file by fsync of that
file, names in a folder by fsync of that folder (POSIX promises no more). Every other operation
before the cut may or may not have reached the disk, in any combination.
"""

from __future__ import annotations

import itertools
import os
import random
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

Tree = dict[str, "Tree | bytes"]


@dataclass(frozen=True)
class Operation:
    """One operation on numbered files and folders; `kind` ack marks a promise to the caller."""

    kind: str
    node: int
    name: str = ""
    parent: int = 0
    old_name: str = ""
    old_parent: int = 0
    data: bytes = b""


@dataclass
class Recorder:
    """Listens to `os` beneath `root`; the root itself is node 0 and is on the disk."""

    root: Path
    done: list[Operation] = field(default_factory=list)
    _nodes: dict[str, int] = field(default_factory=dict)
    _open: dict[int, int] = field(default_factory=dict)
    _count: itertools.count[int] = field(default_factory=lambda: itertools.count(1))

    def ack(self, promise: str) -> None:
        """Note that the caller has now been told of `promise`."""
        self.done.append(Operation("ack", -1, promise))

    def _node(self, path: Any) -> int | None:
        text = os.path.abspath(os.fspath(path))
        return 0 if text == str(self.root) else self._nodes.get(text)

    def _enter(self, path: Any) -> tuple[int, int, str] | None:
        text = os.path.abspath(os.fspath(path))
        parent = self._node(os.path.dirname(text))
        if parent is None:
            return None
        self._nodes[text] = next(self._count)
        return self._nodes[text], parent, os.path.basename(text)

    def mkdir(self, real: Callable[..., Any], path: Any, *rest: Any) -> None:
        real(path, *rest)
        if found := self._enter(path):
            self.done.append(Operation("mkdir", found[0], found[2], found[1]))

    def open(self, real: Callable[..., Any], path: Any, flags: int, *rest: Any) -> int:
        handle = real(path, flags, *rest)
        if flags & os.O_CREAT and (found := self._enter(path)):
            self.done.append(Operation("create", found[0], found[2], found[1]))
        if (node := self._node(path)) is not None:
            self._open[handle] = node
        return int(handle)

    def write(self, real: Callable[..., Any], handle: int, data: Any) -> int:
        count = real(handle, data)
        if handle in self._open:
            written = bytes(data[:count])
            self.done.append(Operation("write", self._open[handle], data=written))
        return int(count)

    def fsync(self, real: Callable[..., Any], handle: int) -> None:
        real(handle)
        if handle in self._open:
            self.done.append(Operation("sync", self._open[handle]))

    def close(self, real: Callable[..., Any], handle: int) -> None:
        self._open.pop(handle, None)
        real(handle)

    def rename(self, real: Callable[..., Any], source: Any, target: Any) -> None:
        real(source, target)
        old, new = (os.path.abspath(os.fspath(path)) for path in (source, target))
        if old not in self._nodes:
            return
        node, before, after = (
            self._nodes[old],
            *(self._node(os.path.dirname(p)) for p in (old, new)),
        )
        self._nodes = {
            new + path[len(old) :] if path == old or path.startswith(old + os.sep) else path: number
            for path, number in self._nodes.items()
        }
        self.done.append(
            Operation(
                "rename", node, os.path.basename(new), after or 0, os.path.basename(old), before or 0
            )
        )  # fmt: skip


@contextmanager
def recorded(root: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Recorder]:
    """Record what `os` does beneath `root` for as long as the block runs."""
    recorder = Recorder(root)
    with monkeypatch.context() as patch:
        for name in ("mkdir", "open", "write", "fsync", "close", "rename"):
            listener, real = getattr(recorder, name), getattr(os, name)
            patch.setattr(
                os, name, lambda *args, _listen=listener, _real=real: _listen(_real, *args)
            )
        yield recorder


def applied(done: list[Operation], lost: frozenset[int] = frozenset()) -> Tree:
    """Return what stands in the root after `done`, the operations numbered in `lost` left out."""
    nodes: dict[int, Tree | bytes] = {0: {}}

    for step in done:
        if step.kind in ("mkdir", "create"):
            nodes[step.node] = {} if step.kind == "mkdir" else b""
    links: dict[int, dict[str, int]] = {0: {}}
    for number, step in enumerate(done):
        if number in lost or step.kind in ("ack", "sync"):
            continue
        if step.kind == "write":
            before = nodes[step.node]
            assert isinstance(before, bytes)
            nodes[step.node] = before + step.data
            continue
        if step.kind == "rename" and links.get(step.old_parent, {}).get(step.old_name) == step.node:
            del links[step.old_parent][step.old_name]
        links.setdefault(step.parent, {})[step.name] = step.node

    def grown(number: int) -> Tree | bytes:
        node = nodes[number]
        if isinstance(node, bytes):
            return node
        return {name: grown(child) for name, child in links.get(number, {}).items()}

    whole = grown(0)
    assert isinstance(whole, dict)
    return whole


def unsynced(done: list[Operation]) -> list[int]:
    """Return the numbers of the operations that nothing has forced to the disk yet."""
    loose = []
    for number, step in enumerate(done):
        if step.kind in ("ack", "sync"):
            continue
        needed = {step.node} if step.kind == "write" else {step.parent}
        if step.kind == "rename":
            needed.add(step.old_parent)
        forced = {later.node for later in done[number + 1 :] if later.kind == "sync"}
        if not needed <= forced:
            loose.append(number)
    return loose


def after_power_cut(done: list[Operation], chance: random.Random) -> Iterator[Tree]:
    """Yield what may be on the disk when the power goes after `done`.

    All unsynced operations lost, none, each alone lost, each alone kept, and twenty drawn sets.
    """
    loose = unsynced(done)
    everything = frozenset(loose)
    losses = {frozenset(), everything}
    losses |= {frozenset({one}) for one in loose} | {everything - {one} for one in loose}
    losses |= {frozenset(one for one in loose if chance.random() < 0.5) for _ in range(20)}
    for lost in sorted(losses, key=sorted):
        yield applied(done, lost)


def materialise(tree: Tree, folder: Path) -> None:
    """Write a tree to a real folder."""
    folder.mkdir()
    for name, node in tree.items():
        if isinstance(node, bytes):
            (folder / name).write_bytes(node)
        else:
            materialise(node, folder / name)


def observed(folder: Path) -> Tree:
    """Read a real folder as a tree."""
    return {
        path.name: observed(path) if path.is_dir() else path.read_bytes()
        for path in folder.iterdir()
    }
