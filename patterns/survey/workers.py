"""Who judges the books: this process, a pool of processes, or a Dask cluster; the same code path for all."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent import futures
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing.connection import wait
from urllib.parse import urlsplit

from patterns.errors import SettingError
from patterns.survey import judging
from patterns.survey.judging import Task

_LOOPBACK = ("127.0.0.1", "localhost", "::1")


Judged = list[tuple[int, str, str]]
"""Of each book of a task its row, its key and its result as one line of JSON."""


@dataclass(frozen=True, slots=True)
class Workers:
    """Where tasks are handed in, and how many may be in hand at once."""

    submit: Callable[[Task], Future[Judged]]
    at_once: int

    def judged(self, tasks: Iterable[Task]) -> Iterator[Judged]:
        """Yield the books of every task as they come; tasks are handed out as workers come free.

        Raises SettingError where a worker was ended from outside.
        """
        pending: set[Future[Judged]] = set()
        try:
            for task in tasks:
                pending.add(self.submit(task))
                if len(pending) >= self.at_once:
                    done, pending = futures.wait(pending, return_when=futures.FIRST_COMPLETED)
                    yield from (one.result() for one in done)
            yield from (one.result() for one in futures.as_completed(pending))
        except futures.BrokenExecutor:
            raise SettingError(
                "a worker of the survey was ended from outside: what was finished is kept, and the same command goes on from it"
            ) from None


def _here(task: Task) -> Future[Judged]:
    """Do the work now, in this process."""
    done: Future[Judged] = Future()
    done.set_result(judging.work(task))
    return done


@contextmanager
def workers(jobs: int, scheduler: str, tls: str) -> Iterator[Workers]:
    """Lend workers for a survey, and end them with it. Raises SettingError."""
    if scheduler:
        with _cluster(scheduler, tls) as found:
            yield found
    elif jobs == 1:
        yield Workers(_here, 1)
    else:
        with _pool(jobs) as found:
            yield found


@contextmanager
def _pool(jobs: int) -> Iterator[Workers]:
    """Start `jobs` processes; stopped early, they are ended at once instead of being waited for."""
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(jobs, context, initializer=_begin)
    answers = getattr(pool, "_result_queue", None)
    try:
        yield Workers(lambda task: pool.submit(judging.work, task), 2 * jobs)
    except BaseException:
        pool.shutdown(wait=False, cancel_futures=True)
        for process in multiprocessing.active_children():
            process.terminate()
        if answers is not None:  # an answer cut short in the middle would be waited for at the exit
            answers._writer.close()
        raise
    pool.shutdown()


def _begin() -> None:
    """Make a worker leave Ctrl-C to its parent, and end when its parent does, however that ended."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)


@contextmanager
def _cluster(address: str, tls: str) -> Iterator[Workers]:
    """Ask a running Dask scheduler; an open one would run anyone's code, so it must be here or behind TLS."""
    _refuse_open(address, tls)
    try:
        from distributed import Client
        from distributed.security import Security
    except ImportError:
        raise SettingError.kind("no cluster", "scheduler: Dask is not installed") from None
    security = None
    if tls:
        authority, certificate, private = tls.split(",")
        security = Security(
            tls_ca_file=authority,
            tls_client_cert=certificate,
            tls_client_key=private,
            require_encryption=True,
        )
    try:
        client = Client(address, security=security, timeout=10, set_as_default=False)
    except (OSError, TimeoutError, ValueError) as why:
        raise SettingError.kind(
            "option",
            f"scheduler {address}: no scheduler answers there ({type(why).__name__}): start one, or leave the option out",
        ) from None
    try:
        count = sum(client.nthreads().values())
        if not count:
            raise SettingError.kind(
                "option",
                f"scheduler {address}: it has no workers: start one with “dask worker {address}”",
            )
        executor = client.get_executor(pure=False)
        yield Workers(lambda task: executor.submit(judging.work, task), 2 * count)
    finally:
        client.close()


def _refuse_open(address: str, tls: str) -> None:
    found = urlsplit(address if "//" in address else f"tcp://{address}")
    if tls and (len(tls.split(",")) != 3 or found.scheme != "tls"):
        raise SettingError.kind(
            "option",
            "tls: write ca,certificate,key, three files, and a scheduler as tls://HOST:PORT",
        )
    if not tls and found.hostname not in _LOOPBACK:
        raise SettingError.kind(
            "open scheduler",
            f"scheduler {address}: an open scheduler runs anyone's code: use one on this machine "
            "(tcp://127.0.0.1:PORT)",
        )
