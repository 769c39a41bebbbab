"""Painters end with their painting, whoever still looks at the frame that drew."""

from __future__ import annotations

import ast
from pathlib import Path
from types import FrameType

import pytest
from pytestqt.qtbot import QtBot

import ldapp.desktop
from ldapp.desktop.pages.axis_figure import axis_figure
from ldapp.desktop.pages.custody_axis import CustodyAxis
from tests.desktop.desk_claims import desk_claim

PLACES = sorted(Path(ldapp.desktop.__file__).parent.rglob("*.py"))


def test_a_frame_that_is_kept_keeps_no_painter(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A debugger or a profile keeps frames; Qt then warns, and may crash in another thread."""
    kept: list[FrameType | None] = []
    real = CustodyAxis._paint_current

    def keep(self: CustodyAxis, painter: object) -> None:
        import sys

        frame: FrameType | None = sys._getframe(1)
        while frame is not None:
            kept.append(frame)
            frame = frame.f_back
        real(self, painter)  # type: ignore[arg-type]

    monkeypatch.setattr(CustodyAxis, "_paint_current", keep)
    axis = CustodyAxis()
    qtbot.addWidget(axis)
    axis.show_figure(axis_figure(desk_claim(3, "c"), None))
    axis.resize(600, 300)
    axis.show()
    qtbot.waitUntil(lambda: bool(kept), timeout=5000)
    qtbot.wait(50)


def painters_without_an_end(source: str) -> list[int]:
    """Return the lines where a painter is begun that no ``with`` and no ``end()`` ends."""
    found = []
    for function in ast.walk(ast.parse(source)):
        if not isinstance(function, ast.FunctionDef):
            continue
        made = [
            one
            for one in ast.walk(function)
            if isinstance(one, ast.Assign)
            and isinstance(one.value, ast.Call)
            and isinstance(one.value.func, ast.Name)
            and one.value.func.id == "QPainter"
        ]
        if not made:
            continue
        last = function.body[-1]
        ended = any(
            isinstance(one, ast.Expr)
            and isinstance(one.value, ast.Call)
            and isinstance(one.value.func, ast.Attribute)
            and one.value.func.attr == "end"
            for one in function.body
        )
        early = [
            one for one in ast.walk(function) if isinstance(one, ast.Return) and one is not last
        ]
        if not ended or early:
            found += [one.lineno for one in made]
    return found


@pytest.mark.parametrize("path", PLACES, ids=lambda path: path.stem)
def test_every_painter_is_ended_where_it_was_begun(path: Path) -> None:
    assert painters_without_an_end(path.read_text("utf-8")) == []


def test_an_open_painter_is_found() -> None:
    left = "def paint(self):\n    painter = QPainter(self)\n    painter.drawLine()\n"
    assert painters_without_an_end(left) == [2]
    early = left.replace(
        "    painter.drawLine()", "    if self.none:\n        return\n    painter.end()"
    )
    assert painters_without_an_end(early) == [2]
    assert painters_without_an_end(left + "    painter.end()\n") == []
    assert (
        painters_without_an_end("def paint(self):\n    with QPainter(self) as one:\n        one\n")
        == []
    )
