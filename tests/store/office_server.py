"""A real PostgreSQL with its own data folder, started for the tests on a free port."""

import getpass
import shutil
import signal
import socket
import subprocess
import time
from pathlib import Path

import pytest


def _program(name):
    found = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"))
    return str(found[-1]) if found else shutil.which(name)


def running_server(folder):
    """Give the address of a server in ``folder`` until the generator is closed."""
    if _program("initdb") is None or _program("postgres") is None:
        pytest.fail("PostgreSQL's server programs are missing: install the package postgresql")
    as_whom = {}
    if getpass.getuser() == "root":
        # The server refuses to run as the administrator.
        for one in (folder, *folder.parents[:2]):
            one.chmod(0o755)
        shutil.chown(folder, "nobody")
        as_whom = {"user": "nobody", "group": "nogroup", "extra_groups": []}
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    subprocess.run(
        [_program("initdb"), "-D", folder / "data", "-A", "trust", "-U", "ldapp", "-N"],
        check=True, cwd=folder, **as_whom, **quiet,
    )  # fmt: skip
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    process = subprocess.Popen(
        [_program("postgres"), "-D", folder / "data", "-h", "127.0.0.1", "-p", str(port),
         "-k", folder, "-F"],
        cwd=folder, **as_whom, **quiet,
    )  # fmt: skip
    address = f"postgresql+psycopg://ldapp@127.0.0.1:{port}/"
    try:
        _wait(port)
        yield address
    finally:
        process.send_signal(signal.SIGINT)  # ends open connections too
        process.wait()


def _wait(port):
    import psycopg

    # A busy computer may take its time: nothing is measured here.
    for _ in range(600):
        try:
            psycopg.connect(
                f"host=127.0.0.1 port={port} user=ldapp dbname=postgres"
            ).close()  # fmt: skip
        except psycopg.OperationalError:
            time.sleep(0.1)
        else:
            return
    raise AssertionError("the server did not start")


def new_database(server):
    """Make a new, empty database on a server; return its address."""
    import psycopg

    name = f"claims_{time.monotonic_ns()}"
    plain = server.replace("+psycopg", "") + "postgres"
    with psycopg.connect(plain, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    return server + name
