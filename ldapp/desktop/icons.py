"""Our own icons: SVG drawings in one stroke weight, tinted in the text's colour."""

from __future__ import annotations

import weakref
from functools import cache

from PySide6.QtCore import QByteArray, QObject, QSize, Qt, Slot
from PySide6.QtGui import QAction, QColor, QGuiApplication, QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QAbstractButton

from ldapp.desktop.theme import Role, colour, theme
from ldapp.resources import resource

_Iconed = QAction | QAbstractButton
_SIZES = (16, 20, 24, 32, 40, 48, 64)


@cache
def _drawing(name: str) -> str:
    return resource("icons", f"{name}.svg").read_text(encoding="utf-8")


def _pixmap(name: str, size: int, tint: QColor) -> QPixmap:
    return _drawn(_drawing(name).replace("currentColor", tint.name()), size)


def _drawn(drawing: str, size: int) -> QPixmap:
    renderer = QSvgRenderer(QByteArray(drawing.encode()))
    pixmap = QPixmap(QSize(size, size))
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    renderer.render(painter)
    painter.end()
    return pixmap


_made: dict[tuple[str, str], QIcon] = {}


def icon(name: str, role: Role = "text") -> QIcon:
    """Return the icon ``resources/icons/<name>.svg`` in the colour of ``role`` in force now."""
    tint = colour(role)
    key = (name, tint.name())
    if key not in _made:
        made = QIcon()
        faint = QColor(colour("muted"))
        for size in _SIZES:
            made.addPixmap(_pixmap(name, size, tint), QIcon.Mode.Normal)
            made.addPixmap(_pixmap(name, size, faint), QIcon.Mode.Disabled)
        _made[key] = made
    return _made[key]


def mark(name: str, role: Role, size: int = 20) -> QPixmap:
    """Return an icon as a picture for a label, sharp on screens of any density."""
    app = QGuiApplication.instance()
    ratio = app.devicePixelRatio() if isinstance(app, QGuiApplication) else 1.0
    return icon(name, role).pixmap(QSize(size, size), ratio)


def program_icon() -> QIcon:
    """Return the program's own icon, which keeps its colours in light and dark."""
    made = QIcon()
    drawing = resource("desktop", "ldapp.svg").read_text(encoding="utf-8")
    for size in (*_SIZES, 128, 256):
        made.addPixmap(_drawn(drawing, size))
    return made


def program_picture(size: int) -> QPixmap:
    """Return the program's icon as a picture for a label, sharp on screens of any density."""
    app = QGuiApplication.instance()
    ratio = app.devicePixelRatio() if isinstance(app, QGuiApplication) else 1.0
    return program_icon().pixmap(QSize(size, size), ratio)


class _Keeper(QObject):
    """Tints kept icons anew when the colours change."""

    def __init__(self) -> None:
        super().__init__(theme())
        self.kept: list[tuple[weakref.ref[_Iconed], str, Role]] = []
        theme().changed.connect(self.tint_anew)

    @Slot()
    def tint_anew(self) -> None:
        alive = []
        for reference, name, role in self.kept:
            target = reference()
            if target is not None and _is_alive(target):
                target.setIcon(icon(name, role))
                alive.append((reference, name, role))
        self.kept = alive


_keepers: list[_Keeper] = []


def keep_icon(target: _Iconed, name: str, role: Role = "text") -> None:
    """Give an action or button an icon that follows light and dark."""
    target.setIcon(icon(name, role))
    if not _keepers or _keepers[0].parent() is not theme():
        _keepers[:] = [_Keeper()]
    keeper = _keepers[0]
    keeper.kept = [one for one in keeper.kept if one[0]() is not target]
    keeper.kept.append((weakref.ref(target), name, role))


def _is_alive(target: QObject) -> bool:
    import shiboken6  # noqa: PLC0415 - only asked when the colours change

    return bool(shiboken6.isValid(target))
