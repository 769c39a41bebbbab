"""The program opens no connection, but to the time-stamp authority that a person names."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).parents[2]
PACKAGE = REPOSITORY / "ldapp"

OPENS_CONNECTIONS = frozenset(
    {
        "socket", "socketserver", "ssl", "http", "urllib.request", "ftplib", "smtplib", "poplib",
        "imaplib", "nntplib", "telnetlib", "xmlrpc", "webbrowser", "requests", "urllib3", "httpx",
        "aiohttp", "websockets", "PySide6.QtNetwork", "PySide6.QtWebEngineWidgets",
        "PySide6.QtWebSockets", "multiprocessing.connection",
    }
)  # fmt: skip

ASKS_AN_AUTHORITY = {PACKAGE / "dossier" / "time_stamp.py"}
"""A seal's time stamp (RFC 3161), only at the address that the person gave, only when sealing."""


def _imported(path: Path) -> set[str]:
    names = set()
    for node in ast.walk(ast.parse(path.read_bytes())):
        if isinstance(node, ast.Import):
            names |= {one.name for one in node.names}
        elif isinstance(node, ast.ImportFrom) and not node.level:
            names |= {str(node.module)} | {f"{node.module}.{one.name}" for one in node.names}
    return names


def _opens(names: set[str]) -> set[str]:
    return {
        name
        for name in names
        if any(name == one or name.startswith(f"{one}.") for one in OPENS_CONNECTIONS)
    }


def test_no_module_imports_what_opens_connections() -> None:
    modules = sorted(PACKAGE.rglob("*.py"))
    found = {path: _opens(_imported(path)) for path in modules}
    assert len(modules) > 200
    assert {path for path, names in found.items() if names} == ASKS_AN_AUTHORITY


@pytest.mark.parametrize(
    "code", ["import socket", "from urllib import request", "from PySide6 import QtNetwork",
             "import http.client as quiet"],
)  # fmt: skip
def test_an_import_of_that_kind_would_be_found(code: str, tmp_path: Path) -> None:
    (tmp_path / "a.py").write_text(code)
    assert _opens(_imported(tmp_path / "a.py"))


def _run_listening(*tests: str, folder: Path = REPOSITORY) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "tests.security.no_sockets", *tests],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(REPOSITORY), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_claim_through_everything_opens_none() -> None:
    done = _run_listening("tests/desktop/test_everything_once.py")
    assert done.returncode == 0, done.stdout[-3000:]
    assert "1 passed" in done.stdout


@pytest.mark.parametrize(
    "call",
    [
        "socket.create_connection(('192.0.2.1', 80), timeout=0.1)",
        "socket.getaddrinfo('host.example', 80)",
        "urllib.request.urlopen('http://192.0.2.1/', timeout=0.1)",
    ],
)
def test_a_connection_would_be_noticed(call: str, tmp_path: Path) -> None:
    (tmp_path / "test_it.py").write_text(
        "import contextlib, socket, urllib.request\n"
        f"def test_it():\n    with contextlib.suppress(OSError):\n        {call}\n"
    )
    done = _run_listening("test_it.py", folder=tmp_path)
    assert done.returncode == 1
    assert "socket." in done.stdout


def test_this_computer_is_no_network(tmp_path: Path) -> None:
    (tmp_path / "test_it.py").write_text(
        "import socket\n"
        "def test_it():\n"
        "    one, other = socket.socketpair()\n    one.close()\n    other.close()\n"
        "    with socket.create_server(('127.0.0.1', 0)) as server:\n"
        "        socket.create_connection(server.getsockname()).close()\n"
    )
    assert _run_listening("test_it.py", folder=tmp_path).returncode == 0
