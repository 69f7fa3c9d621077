"""Inside the test run: notes which test runs which line, or runs some tests in a given order.

Loaded by `-p tests.mutation.watch` in a private copy. MUTATION_TASK names a JSON file that says
what to do; the answer is written beside it, as `said.json`.
"""

from __future__ import annotations

import functools
import json
import os
import signal
import sys
from collections.abc import Callable, Generator, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

import pytest
from coverage import Coverage
from hypothesis import Phase, settings

TASK = Path(os.environ["MUTATION_TASK"])
ASKED: dict[str, Any] = json.loads(TASK.read_text(encoding="utf-8"))
WITHOUT_SHRINKING = (Phase.explicit, Phase.reuse, Phase.generate)
T = TypeVar("T")


def say(**said: object) -> None:
    """Write the answer."""
    TASK.with_name("said.json").write_text(json.dumps(said), encoding="utf-8")


def cpu_seconds() -> float:
    """Return the processor's time of this process and of those that it has waited for."""
    return sum(os.times()[:4])


class Mapping:
    """Lines by context: a test, or what is worked out once and then used by several tests."""

    def __init__(self) -> None:
        self.coverage = Coverage(
            data_file=ASKED["data"], source=["patterns"], config_file=False, messages=False
        )
        self.trail = [""]
        self.uses: dict[str, set[str]] = {}
        self.tests: dict[str, float] = {}
        self.failed: list[str] = []
        self.coverage.start()
        self._watch_caches()

    @contextmanager
    def within(self, context: str) -> Iterator[None]:
        """Note the lines that are run in here under a name."""
        self.trail.append(context)
        self.coverage.switch_context(context)
        try:
            yield
        finally:
            self.trail.pop()
            self.coverage.switch_context(self.trail[-1])

    def used(self, context: str) -> None:
        """Note that the present test also rests on the lines of another context."""
        self.uses.setdefault(self.trail[-1], set()).add(context)

    def _watch_caches(self) -> None:
        """Make functions that work something out once name the lines that it took."""
        real = self.real = functools.lru_cache

        def lru_cache(maxsize: Any = 128, typed: bool = False) -> Any:
            if callable(maxsize):
                return real(maxsize)
            return self._noted if maxsize is None else real(maxsize, typed)

        functools.lru_cache = lru_cache
        functools.cache = self._noted  # type: ignore[assignment]

    def _noted(self, function: Callable[..., T]) -> Callable[..., T]:
        if not function.__module__.startswith(("patterns", "tests")):
            return self.real(None)(function)
        context = f"cached:{function.__module__}.{function.__qualname__}"

        @functools.wraps(function)
        def work_out(*given: Any, **named: Any) -> T:
            with self.within(context):
                return function(*given, **named)

        kept: Any = self.real(None)(work_out)

        @functools.wraps(function)
        def ask(*given: Any, **named: Any) -> T:
            self.used(context)
            answer: T = kept(*given, **named)
            return answer

        ask.cache_clear, ask.cache_info = kept.cache_clear, kept.cache_info  # type: ignore[attr-defined]
        return ask

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Generator[None, object, object]:
        """Note a test's lines, and how long it takes."""
        begun = cpu_seconds()
        with self.within(item.nodeid):
            done = yield
        self.tests[item.nodeid] = round(cpu_seconds() - begun, 3)
        return done

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(
        self, fixturedef: pytest.FixtureDef[Any], request: pytest.FixtureRequest
    ) -> Generator[None, object, object]:
        """Note the lines of what is set up once for several tests."""
        if fixturedef.scope == "function":
            return (yield)
        with self.within(f"fixture:{request.fixturename}"):
            return (yield)

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_call(self, item: pytest.Item) -> None:
        """Note which of those a test rests on; a name that is no such fixture has no lines."""
        for name in getattr(item, "fixturenames", ()):
            self.used(f"fixture:{name}")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note what fails without any fault."""
        if report.failed:
            self.failed.append(report.nodeid)

    def pytest_sessionfinish(self) -> None:
        """Save lines and times, and which modules of the tests were read for them."""
        self.coverage.stop()
        self.coverage.save()
        uses = {context: sorted(others) for context, others in self.uses.items()}
        read = {getattr(one, "__file__", None) for one in [*sys.modules.values()]}
        here = str(Path("tests").resolve()) + os.sep
        say(
            tests=self.tests,
            uses=uses,
            failed=sorted(set(self.failed)),
            read=sorted(os.path.relpath(one) for one in read if one and one.startswith(here)),
        )


class Running:
    """The asked tests, in the asked order, each within its own time."""

    def __init__(self) -> None:
        self.limits: dict[str, float] = ASKED["tests"]
        self.told = False

    def pytest_sessionstart(self) -> None:
        """Spare the search for the smallest failing example: that one fails is enough."""
        settings.register_profile("mutation", settings(), phases=WITHOUT_SHRINKING)
        settings.load_profile("mutation")

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(
        self, config: pytest.Config, items: list[pytest.Item]
    ) -> None:
        """Keep the asked tests alone."""
        place = {name: at for at, name in enumerate(self.limits)}
        left_out = [item for item in items if item.nodeid not in place]
        config.hook.pytest_deselected(items=left_out)
        items[:] = sorted(
            (item for item in items if item.nodeid in place), key=lambda item: place[item.nodeid]
        )

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Generator[None, object, object]:
        """End the run when a test takes many times the processor's time that it needs."""
        signal.setitimer(signal.ITIMER_PROF, self.limits[item.nodeid])
        try:
            return (yield)
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        """Tell of a test file that can no longer be read."""
        if report.failed:
            lines = str(report.longrepr).strip().splitlines()
            self._tell(report.nodeid, lines[-1].removeprefix("E").strip() if lines else "")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Tell of the first test that fails."""
        if report.failed:
            crash = getattr(report.longrepr, "reprcrash", None)
            self._tell(report.nodeid, crash.message if crash else str(report.longrepr)[-500:])

    def _tell(self, test: str, message: str) -> None:
        if not self.told:
            say(test=test, message=message)
            self.told = True


PLUGIN = Mapping() if ASKED["do"] == "map" else Running()


def pytest_configure(config: pytest.Config) -> None:
    """Set the asked work going."""
    config.pluginmanager.register(PLUGIN)
