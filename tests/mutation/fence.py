"""A fence around the private copy: Python runs this first, as `sitecustomize`, in every process.

It refuses to write, move, remove or link anything outside the folder named in MUTATION_FENCE and
to signal any process outside its own process group. It uses the standard library alone and needs
no other module of the project, since it is copied beside the tree that is put to the test.
"""

from __future__ import annotations

import os
import resource
import sys

HOME = os.path.realpath(os.environ.get("MUTATION_FENCE", os.sep))
MEMORY = 8 << 30
FILE = 1 << 30
WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
DEVICES = ("/dev/null", "/dev/zero", "/dev/full", "/dev/tty", "/dev/ptmx", "/dev/pts")

CHANGED = {
    "os.remove": ((0, 1),),
    "os.rmdir": ((0, 1),),
    "os.mkdir": ((0, 2),),
    "os.rename": ((0, 2), (1, 3)),
    "os.link": ((1, 3),),
    "os.symlink": ((1, 2),),
    "os.truncate": ((0, None),),
    "os.chmod": ((0, 2),),
    "os.chown": ((0, 3),),
    "os.utime": ((0, 3),),
    "os.setxattr": ((0, None),),
    "shutil.rmtree": ((0, None),),
    "sqlite3.connect": ((0, None),),
}
"""Per event of the interpreter: where its path and the folder that a relative path counts from stand."""


def inside(path: object, folder: object = None) -> bool:
    """Say whether what a path names lies within the fence; an open file was let through before."""
    if isinstance(path, int) or path is None:
        return True
    name = os.fsdecode(path)  # type: ignore[arg-type]
    if name in ("", ":memory:") or name.startswith("file:"):
        return True
    if isinstance(folder, int) and folder >= 0 and not os.path.isabs(name):
        name = os.path.join(os.readlink(f"/proc/self/fd/{folder}"), name)
    real = os.path.join(os.path.realpath(os.path.dirname(name) or "."), os.path.basename(name))
    followed = os.path.realpath(name)
    return all(
        one == HOME or one.startswith((HOME.rstrip(os.sep) + os.sep, *DEVICES))
        for one in (real, followed)
    )


def writes(mode: object, flags: object) -> bool:
    """Say whether a file is opened to be changed."""
    if isinstance(mode, str) and set(mode) & set("wax+"):
        return True
    return isinstance(flags, int) and bool(flags & WRITING)


def own(event: str, target: object) -> bool:
    """Say whether a signal stays within the own process group or goes to a child of this process."""
    if not isinstance(target, int) or target < 0:
        return False
    if target == 0 or (event == "os.killpg" and target == os.getpgrp()):
        return True
    try:
        with open(f"/proc/{target}/stat", encoding="utf-8", errors="replace") as file:
            parent = int(file.read().rpartition(")")[2].split()[1])
        return parent == os.getpid() or (event == "os.kill" and os.getpgid(target) == os.getpgrp())
    except (FileNotFoundError, ProcessLookupError):
        return not os.path.exists(f"/proc/{target}")


def watch(event: str, given: tuple[object, ...]) -> None:
    """Refuse what would change something outside."""
    if event == "open":
        if writes(given[1], given[2]) and not inside(given[0]):
            raise PermissionError(f"outside the private copy: {given[0]!r}")
    elif event in CHANGED:
        for at, folder in CHANGED[event]:
            beside = given[folder] if folder is not None and folder < len(given) else None
            if not inside(given[at], beside):
                raise PermissionError(f"outside the private copy: {event} {given[at]!r}")
    elif event in ("os.kill", "os.killpg") and not own(event, given[0]):
        raise PermissionError(f"outside the own process group: {event} {given[0]!r}")


if "MUTATION_FENCE" in os.environ and __name__ == "sitecustomize":
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_FSIZE, (FILE, FILE))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    sys.addaudithook(watch)
