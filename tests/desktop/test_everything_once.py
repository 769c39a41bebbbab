"""A demo claim through everything once: taken in, looked at on every page, written, read back.

``tests/security/test_no_network.py`` runs this again and listens for connections.
"""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Callable
from contextlib import redirect_stdout
from pathlib import Path

from pytestqt.qtbot import QtBot

from ldapp.casework import dossier
from ldapp.casework.bundles import write_claim_bundle
from ldapp.casework.claim_files import reckon_claim_file
from ldapp.casework.demo import demo_claim
from ldapp.casework.places import PAGES
from ldapp.casework.register import Register
from ldapp.cli import main
from ldapp.desktop.main_window import MainWindow
from ldapp.store.claim_library import Library

DAY = dt.date(2026, 11, 25)


def test_a_claim_through_everything_once(
    qtbot: QtBot,
    window: MainWindow,
    register: Register,
    idle: Callable[[], None],
    tmp_path: Path,
) -> None:
    demo = demo_claim("paper_lanterns")
    key = register.take_in_demo(demo)
    window.open_claim(key)
    qtbot.waitUntil(lambda: window.claim_view is not None, timeout=10_000)
    view = window.claim_view
    assert view is not None
    qtbot.waitUntil(lambda: view.context.up_to_date, timeout=20_000)
    for page in PAGES:
        view.show_page(page)
        idle()
        assert view.current_page == page

    claim = register.with_journal(register.open(key).claim)
    originals = register.originals
    for version in dossier.VERSION_NAMES:
        target = tmp_path / f"{version}.pdf"
        assert dossier.write(claim, originals, dossier.Choices(version, DAY), target).pages > 0
    for profile in ("complete", "shared"):
        bundle = tmp_path / f"{profile}.zip"
        write_claim_bundle(claim, originals, bundle, profile=profile, date=DAY)
        other = Register(Library.open(tmp_path / f"of {profile}"), "Bea")
        assert other.take_in_bundle(bundle) == key
        other.close()
    assert register.check().wrong == ()

    folder = demo.path.parent
    commands = [["photos", "--json", str(one)] for one in sorted(folder.rglob("*.jpg"))[:3]]
    commands += [["kit", "--json", str(one)] for one in sorted(folder.rglob("*.xlsx"))[:1]]
    commands += [["verify", str(tmp_path / "complete.zip")], ["reckon", str(demo.path), "--json"]]
    for command in commands:
        with redirect_stdout(io.StringIO()) as printed:
            assert main(command) == 0, command
        assert printed.getvalue()
    assert reckon_claim_file(demo.path)
