"""Changes the reckoning bit by bit and says which changes no test notices.

    pip install "mutmut==3.8.1"
    python -m tests.mutation                     everything that no test has noticed yet
    python -m tests.mutation "*.money.*"         a part, by pattern of names
    python -m tests.mutation --fresh             forget earlier runs
    python -m tests.mutation --show              print the changes that are alive

mutmut makes the changed functions; this file runs them. All tests are collected once in one warm
process, each change is tried in a fork of it with only the tests that reach the changed function,
those first which noticed a neighbouring change. A change that a test noticed is not tried again
while its function stays as it is, so that after writing a test only the rest is run.
"""

from __future__ import annotations

import argparse
import contextlib
import fnmatch
import functools
import gc
import json
import os
import random
import resource
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from _pytest.runner import runtestprotocol

REPOSITORY = Path(__file__).parents[2]
COPIED = ("ldapp", "tests", "resources", "demo_claims", "pyproject.toml")
TESTS = ("tests/reckoning", "tests/published")
PROCESSOR_SECONDS = 2  # of one test, beside ten times what it takes undisturbed
MEMORY_ABOVE = 2 << 30


@dataclass(frozen=True)
class Mutant:
    """One change, by mutmut's name for it, and a hash of the function it was made in."""

    name: str
    function_hash: str

    @property
    def function(self) -> str:
        return self.name.partition("__mutmut_")[0]


@dataclass
class Results:
    """What became of each change, one JSON line each, written as it is known."""

    path: Path
    verdicts: dict[tuple[str, str], str] = field(default_factory=dict)

    def read(self) -> None:
        if self.path.exists():
            for line in self.path.read_text(encoding="utf-8").splitlines():
                one = json.loads(line)
                self.verdicts[one["mutant"], one["hash"]] = one["verdict"]

    def keep(self, mutant: Mutant, verdict: str, killer: str) -> None:
        self.verdicts[mutant.name, mutant.function_hash] = verdict
        line = {
            "mutant": mutant.name,
            "hash": mutant.function_hash,
            "verdict": verdict,
            "test": killer,
        }
        with self.path.open("a", encoding="utf-8") as file:
            file.write(json.dumps(line) + "\n")

    def of(self, mutant: Mutant) -> str:
        return self.verdicts.get((mutant.name, mutant.function_hash), "")


class Runner:
    """A pytest plugin that takes the place of its loop over the tests."""

    def __init__(self, mutants: list[Mutant], results: Results) -> None:
        self.mutants = mutants
        self.results = results
        self.reached: dict[str, list[pytest.Item]] = defaultdict(list)
        self.seconds: dict[str, float] = {}
        self.kills: dict[str, Counter[str]] = defaultdict(Counter)
        self.wrong = ""

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        self._run_unchanged(session.items)
        if self.wrong:
            print(f"A test fails on the unchanged code: {self.wrong}")
            return True
        _forget_kept_answers()
        gc.freeze()
        began = time.monotonic()
        tally: Counter[str] = Counter()
        for number, mutant in enumerate(self.mutants, 1):
            verdict, killer = self._try(mutant)
            self.results.keep(mutant, verdict, killer)
            tally[verdict] += 1
            if verdict == "alive":
                print("alive", mutant.name, flush=True)
            if number % 100 == 0 or number == len(self.mutants):
                pace = (time.monotonic() - began) / number
                print(f"{number}/{len(self.mutants)} {dict(tally)} {pace:.3f} s each", flush=True)
        return True

    def _run_unchanged(self, items: list[pytest.Item]) -> None:
        from mutmut.mutation import trampoline
        from mutmut.state import state

        for item in items:
            trampoline.get_mutant_under_test = lambda: "stats"
            state()._stats.clear()
            failed, self.seconds[item.nodeid] = _run_one(item)
            for function in state()._stats:
                self.reached[function].append(item)
            if failed:
                self.wrong = item.nodeid
                return

    def _try(self, mutant: Mutant) -> tuple[str, str]:
        kills = self.kills[mutant.function]
        everywhere = self.kills["*"]
        items = sorted(
            self.reached[mutant.function],
            key=lambda one: (
                -kills[one.nodeid],
                -everywhere[one.nodeid] / (0.01 + self.seconds[one.nodeid]),
                self.seconds[one.nodeid],
            ),
        )
        if not items:
            return "alive", ""
        reading, writing = os.pipe()
        process = os.fork()
        if process == 0:
            os.close(reading)
            _be_the_mutant(mutant, items, self.seconds, writing)
        os.close(writing)
        with os.fdopen(reading, "rb") as pipe:
            said = pipe.read().decode()
        _, status = os.waitpid(process, 0)
        if os.WIFEXITED(status) and os.WEXITSTATUS(status) == 0:
            return "alive", ""
        if os.WIFSIGNALED(status):
            return "endless", ""
        kills[said] += 1
        everywhere[said] += 1
        return "noticed", said


def _be_the_mutant(
    mutant: Mutant, items: list[pytest.Item], seconds: dict[str, float], writing: int
) -> None:
    """Run the tests on the changed code and leave; 1 tells that one failed."""
    from mutmut.mutation import trampoline

    code = 1
    try:
        with open(os.devnull, "w", encoding="utf-8") as nowhere:  # noqa: PTH123
            os.dup2(nowhere.fileno(), 1)
            os.dup2(nowhere.fileno(), 2)
        in_use = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0]) * 4096
        resource.setrlimit(resource.RLIMIT_AS, (in_use + MEMORY_ABOVE,) * 2)
        trampoline.get_mutant_under_test = lambda: mutant.name
        for item in items:
            limit = PROCESSOR_SECONDS + 10 * seconds[item.nodeid]
            signal.setitimer(signal.ITIMER_PROF, limit)
            failed, _ = _run_one(item)
            if failed:
                os.write(writing, item.nodeid.encode())
                break
        else:
            code = 0
    finally:
        os._exit(code)


def _run_one(item: pytest.Item) -> tuple[bool, float]:
    began = time.process_time()
    item._initrequest()  # type: ignore[attr-defined]
    reports = runtestprotocol(item, log=False, nextitem=None)
    return any(one.failed for one in reports), time.process_time() - began


def _forget_kept_answers() -> None:
    for one in gc.get_objects():
        if isinstance(one, functools._lru_cache_wrapper):
            module = getattr(one, "__module__", "") or ""
            if module.startswith("ldapp.reckoning"):
                one.cache_clear()


def _changed_copy(folder: Path) -> None:
    """Copy the project to ``folder`` and let mutmut write its changed functions there."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in COPIED:
        source, target = REPOSITORY / name, folder / name
        if source.is_dir():
            shutil.rmtree(target, ignore_errors=True)
            shutil.copytree(source, target, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy2(source, target)
    shutil.rmtree(folder / "mutants", ignore_errors=True)
    os.chdir(folder)
    from mutmut.__main__ import create_mutants
    from mutmut.mutation.trampoline import set_mutant_under_test
    from mutmut.utils.file_utils import copy_also_copy_files, copy_src_dir, setup_source_paths

    set_mutant_under_test("mutant_generation")
    Path("mutants").mkdir()
    with contextlib.redirect_stdout(None):
        copy_src_dir()
        copy_also_copy_files()
        setup_source_paths()
        create_mutants(1)
    os.environ.pop("MUTANT_UNDER_TEST", None)


def _mutants(folder: Path) -> Iterator[Mutant]:
    for path in sorted((folder / "mutants").rglob("*.meta")):
        told = json.loads(path.read_text(encoding="utf-8"))
        hashes = told["hash_by_function_name"]
        for name in told["exit_code_by_key"]:
            function = name.rpartition(".")[2].partition("__mutmut_")[0]
            yield Mutant(name, str(hashes.get(function, "")))


def _show(mutants: list[Mutant]) -> None:
    from mutmut.mutation.diff_apply import get_diff_for_mutant

    for mutant in mutants:
        print(f"# {mutant.name}")
        for line in get_diff_for_mutant(mutant.name).splitlines():
            if line[:1] in "+-@ " and not line.startswith(("+++", "---")):
                print(line)


def main() -> int:
    """Make the changes, run them, print the tally; returns 1 while changes are alive."""
    arguments = argparse.ArgumentParser(prog="python -m tests.mutation")
    arguments.add_argument("patterns", nargs="*", default=["*"])
    arguments.add_argument(
        "--folder", type=Path, default=Path(tempfile.gettempdir()) / "ldapp-mutation"
    )
    arguments.add_argument("--fresh", action="store_true")
    arguments.add_argument("--show", action="store_true")
    arguments.add_argument("--sample", type=int, help="only so many, drawn by chance")
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument(
        "--with-properties", action="store_true", help="also the slow tests of test_properties.py"
    )
    chosen = arguments.parse_args()
    folder: Path = chosen.folder.resolve()
    results = Results(folder / "results.jsonl")
    if chosen.fresh:
        results.path.unlink(missing_ok=True)
    _changed_copy(folder)
    results.read()
    everything = [
        one
        for one in _mutants(folder)
        if any(fnmatch.fnmatch(one.name, pattern) for pattern in chosen.patterns)
    ]
    left = [one for one in everything if results.of(one) not in ("noticed", "endless")]
    if chosen.show:
        _show([one for one in left if results.of(one) == "alive"])
        return 0
    left.sort(key=lambda one: results.of(one) == "alive")  # what was never tried comes first
    if chosen.sample is not None:
        left = random.Random(chosen.seed).sample(left, min(chosen.sample, len(left)))
    print(f"{len(everything)} changes, {len(left)} to try, in {folder}", flush=True)
    os.chdir(folder / "mutants")
    sys.path.insert(0, str(folder / "mutants"))
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    options = [
        "-q",
        "-s",
        "--assert=plain",
        "--tb=native",
        "--rootdir=.",
        "-p",
        "no:cacheprovider",
        "-p",
        "no:logging",
    ]
    if not chosen.with_properties:
        options += ["--deselect", "tests/reckoning/test_properties.py"]
    runner = Runner(left, results)
    pytest.main([*options, *TESTS], plugins=[runner])
    tally = Counter(results.of(one) or "not tried" for one in everything)
    print({key: tally[key] for key in sorted(tally)})
    return 1 if runner.wrong or tally["alive"] else 0


if __name__ == "__main__":
    sys.exit(main())
