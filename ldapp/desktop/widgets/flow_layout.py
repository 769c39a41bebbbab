"""A layout that sets widgets one after the other, like words in a paragraph."""

from __future__ import annotations

from PySide6.QtCore import QMargins, QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class FlowLayout(QLayout):
    """Words and fields in lines that break where the width ends."""

    def __init__(self, parent: QWidget | None = None, spacing: int = 4, line_gap: int = 6) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap = spacing
        self._line_gap = line_gap
        self.setContentsMargins(QMargins(0, 0, 0, 0))

    def addItem(self, item: QLayoutItem) -> None:
        """Take one more item."""
        self._items.append(item)

    def count(self) -> int:
        """Return how many items there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """Return an item, or None beyond the last."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Give an item away, or None beyond the last."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """Ask for no more room than needed."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """The height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height at this width."""
        return self._set(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, rect: QRect) -> None:
        """Set the items into ``rect``."""
        super().setGeometry(rect)
        self._set(rect, move=True)

    def sizeHint(self) -> QSize:
        """Return the smallest size."""
        return self.minimumSize()

    def minimumSize(self) -> QSize:
        """Be at least as wide as the widest item."""
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        return size

    def _set(self, rect: QRect, *, move: bool) -> int:
        x, y = rect.x(), rect.y()
        line: list[tuple[QLayoutItem, int, QSize]] = []
        shown = [one for one in self._items if not _is_hidden(one)]
        for item, after in zip(shown, (*shown[1:], None), strict=True):
            # A field and its punctuation break together.
            tail = after.sizeHint().width() + 1 if after is not None and _is_glued(after) else 0
            size = item.sizeHint()
            size.setWidth(min(size.width(), max(rect.width() - tail, 1)))
            glued = _is_glued(item)
            if line and not glued and x + size.width() + tail > rect.x() + rect.width():
                y += self._finish(line, y, move=move) + self._line_gap
                x, line = rect.x(), []
            if glued:
                # Punctuation stays beside the field that it follows.
                x -= self._gap - 1
            line.append((item, x, size))
            x += size.width() + self._gap
        if line:
            y += self._finish(line, y, move=move)
        return y - rect.y()

    @staticmethod
    def _finish(line: list[tuple[QLayoutItem, int, QSize]], y: int, *, move: bool) -> int:
        height = max(size.height() for _, _, size in line)
        if move:
            for item, x, size in line:
                item.setGeometry(QRect(QPoint(x, y + (height - size.height()) // 2), size))
        return height


def _is_hidden(item: QLayoutItem) -> bool:
    widget = item.widget()
    return widget is not None and widget.isHidden()


def _is_glued(item: QLayoutItem) -> bool:
    widget = item.widget()
    return widget is not None and bool(widget.property("glued"))
