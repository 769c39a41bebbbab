"""A pytest plugin (``-p tests.security.no_sockets``) that fails whoever opens a connection.

It listens to Python's audit events (PEP 578), which no library written in Python can get
round.  Connections inside the computer pass: PostgreSQL of the tests, the screen, a pair of
sockets between threads.
"""

from __future__ import annotations

import ipaddress
import sys
from typing import Any

import pytest

opened: list[str] = []
"""What was asked for outside this computer."""

ASKED = {
    "socket.connect": 1,
    "socket.sendto": 1,
    "socket.getaddrinfo": 0,
    "socket.gethostbyname": 0,
}
"""Audit events and which of their arguments says where to."""


def is_inside(where: Any) -> bool:
    """Return whether an address or host name stays on this computer."""
    host = where[0] if isinstance(where, tuple) else where
    if host in {None, "", "localhost"} or not isinstance(where, tuple | str):
        return True
    if isinstance(where, str) and where.startswith(("/", "\0")):
        return True
    try:
        return ipaddress.ip_address(str(host).partition("%")[0]).is_loopback
    except ValueError:
        return False


def _hear(event: str, arguments: tuple[Any, ...]) -> None:
    if event in ASKED:
        where = arguments[ASKED[event]]
        if not is_inside(where):
            opened.append(f"{event} {where}")
            raise PermissionError(f"Nothing here may open a connection: {event} {where}")


sys.addaudithook(_hear)


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """Fail the run even where the one who asked went on without an answer."""
    if opened:
        print("\n".join(opened))
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
