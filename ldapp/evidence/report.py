"""The judgement of photo files as plain data, for scripts and for the command line."""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextvars import copy_context
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any, Final

from ldapp.claim.photo_facts import PhotoFacts, PhotoVerdict
from ldapp.errors import Cancelled, Fault, InputError
from ldapp.evidence.closely import read_closely
from ldapp.evidence.context import VerifyContext
from ldapp.evidence.read import printable_name
from ldapp.evidence.verify import verify
from ldapp.evidence.zones import zone_known
from ldapp.language import said

Report = dict[str, Any]

_AHEAD: Final = 8
"""Files per worker that may be under way before their turn."""


def check_zone(zone: str | None) -> None:
    """Refuse a name that the IANA time zone database does not have.

    Raises :class:`ldapp.errors.InputError`.
    """
    if zone is not None and not zone_known(zone):
        raise InputError(
            (
                Fault(
                    "--zone",
                    zone,
                    said("no such time zone"),
                    said("an IANA name such as Europe/Berlin"),
                ),
            )
        )


def photo_report(
    path: Path,
    zone: str | None = None,
    with_pictures: bool = False,
    *,
    name: str | None = None,
    now: datetime | None = None,
) -> Report:
    """Read and judge one file; the object that ``ldapp photos`` prints for it.

    ``zone`` is the IANA zone assumed for photos that record none.  The picture itself is
    looked at where the file shows signs of handling, or always ``with_pictures``.
    ``now`` is the moment of looking (default: the computer's clock), for dates in the
    future.  A file that cannot be read gives its sentence under ``error``.
    """
    facts = read_closely(path, with_pictures)
    context = VerifyContext(zone=zone, now=now or datetime.now(UTC))
    return as_report(facts, verify(facts, context), printable_name(name or path.name))


def as_report(facts: PhotoFacts, verdict: PhotoVerdict, name: str) -> Report:
    """Return facts and verdict in the published form."""
    _, _, digits = (verdict.taken_local or "").partition(".")
    return {
        "file": name,
        "sha256": facts.sha256,
        "bytes": facts.bytes,
        "kind": facts.kind,
        "width": facts.width,
        "height": facts.height,
        "orientation": facts.orientation,
        "make": facts.make,
        "model": facts.model,
        "serial": facts.serial,
        "software": facts.software,
        "taken_local": verdict.taken_local,
        "offset": verdict.offset,
        "offset_source": verdict.offset_source,
        "taken_utc": _instant(verdict.taken_utc, digits),
        "earliest": _instant(verdict.earliest),
        "latest": _instant(verdict.latest),
        "clock_error_s": verdict.clock_error_s,
        "corrected_utc": _instant(verdict.corrected_utc),
        "satellite_utc": _instant(verdict.satellite_utc),
        "position": None if verdict.position is None else list(verdict.position),
        "standing": verdict.standing,
        "reasons": [
            {"code": reason.code, "weight": reason.weight, "says": reason.says}
            for reason in verdict.reasons
        ],
        "error": facts.error,
    }


def _instant(moment: datetime | None, digits: str | None = None) -> str | None:
    """Return ISO 8601 in UTC with Z; the given digits, else as many as are needed."""
    if moment is None:
        return None
    moment = moment.astimezone(UTC)
    if digits is None:
        digits = f"{moment.microsecond:06d}".rstrip("0") if moment.microsecond else ""
    text = moment.replace(microsecond=0, tzinfo=None).isoformat()
    return f"{text}.{digits}Z" if digits else f"{text}Z"


def files_under(paths: Sequence[Path]) -> list[tuple[Path, str]]:
    """Return every file of the given files and folders, in path order, with its name.

    A file that was named itself keeps its bare name; one from a folder carries its path
    from that folder on.  Hidden files and the folders that systems keep for themselves
    are left out.  Raises :class:`ldapp.errors.InputError` for paths that do not exist.
    """
    missing = tuple(
        Fault(
            printable_name(str(path)),
            "",
            said("there is no such file or folder"),
            said("a photo file or a folder of them"),
        )
        for path in paths
        if not path.exists()
    )
    if missing:
        raise InputError(missing)
    found: dict[Path, str] = {}
    for path in paths:
        if path.is_dir():
            for file in _walk(path):
                found.setdefault(file, file.relative_to(path).as_posix())
        else:
            found.setdefault(path, path.name)
    return sorted(found.items(), key=lambda item: item[0].as_posix())


def _walk(folder: Path) -> Iterator[Path]:
    for place, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith((".", "__MACOSX")))
        for name in sorted(names):
            file = Path(place, name)
            if not name.startswith(".") and file.is_file():
                yield file


def photo_reports(
    paths: Sequence[Path],
    zone: str | None = None,
    with_pictures: bool = False,
    *,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    workers: int | None = None,
    now: datetime | None = None,
) -> Iterator[Report]:
    """Yield a report for each file in path order; folders are walked.

    ``progress`` is told how many of how many are done.  ``cancelled`` is asked between
    files; when it says yes, :class:`ldapp.errors.Cancelled` is raised.  Many files are
    shared among ``workers`` (default: one for each processor that may be used).
    """
    check_zone(zone)
    files = files_under(paths)
    now = now or datetime.now(UTC)
    judge = partial(_judge, zone=zone, with_pictures=with_pictures, now=now)
    reports = _shared(judge, files, workers or _processors())
    for done, report in enumerate(reports, 1):
        if cancelled is not None and cancelled():
            raise Cancelled
        if progress is not None:
            progress(done, len(files))
        yield report


def _processors() -> int:
    return max(1, min(os.cpu_count() or 1, 8))


def _judge(item: tuple[Path, str], zone: str | None, with_pictures: bool, now: datetime) -> Report:
    return photo_report(item[0], zone, with_pictures, name=item[1], now=now)


def _shared(
    judge: Callable[[tuple[Path, str]], Report],
    files: Sequence[tuple[Path, str]],
    workers: int,
) -> Iterator[Report]:
    """Yield the reports in order while several threads work ahead a little.

    Hashing, reading and decoding let other threads run, so threads are as fast as
    processes here, and safe beside a window.
    """
    ahead = deque(files)
    waiting: deque[Future[Report]] = deque()
    with ThreadPoolExecutor(workers, "photo") as pool:
        try:
            while ahead or waiting:
                while ahead and len(waiting) < _AHEAD * workers:
                    # A thread does not know by itself which language is spoken here.
                    speaking = copy_context().run
                    waiting.append(pool.submit(speaking, judge, ahead.popleft()))
                yield waiting.popleft().result()
        finally:
            for future in waiting:
                future.cancel()
