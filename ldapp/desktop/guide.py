"""The user guide, opened at the page where one is (F1)."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, QUrl, Slot
from PySide6.QtGui import QDesktopServices, QImage, QTextDocument
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QTextBrowser,
    QWidget,
)

from ldapp.catalogues import resource_in_language
from ldapp.desktop.theme import GRID, theme
from ldapp.desktop.widgets.pieces import Separator
from ldapp.language import language, marked, said
from ldapp.resources import resource

GUIDE_PAGES: tuple[tuple[str, str], ...] = (
    ("index", marked("What this is for")),
    ("production_manager", marked("Answering an invoice")),
    ("at_the_counter", marked("At the counter")),
    ("school_office", marked("Claims all year")),
    ("register", marked("Register")),
    ("policies", marked("Policies")),
    ("report", marked("Report")),
    ("office", marked("Several people")),
    ("papers", marked("Papers")),
    ("kit", marked("Kit")),
    ("counts", marked("Counts")),
    ("counter_view", marked("Counter view")),
    ("photos", marked("Photos")),
    ("findings", marked("Findings")),
    ("charges", marked("Charges")),
    ("reckoning", marked("Reckoning")),
    ("dossier", marked("Dossier")),
    ("worked_example", marked("A worked example")),
    ("verdicts", marked("What verdicts mean")),
    ("cautions", marked("Cautions")),
    ("keys", marked("Keys")),
)


_PICTURE_WIDTH = GRID * 76


class GuideText(QTextBrowser):
    """Shows a chapter, with the pictures of the scheme in force."""

    def loadResource(self, kind: int, name: QUrl | str) -> Any:
        """Return a picture as wide as the text; anything else as Qt does."""
        url = QUrl(name)
        if kind != QTextDocument.ResourceType.ImageResource.value or not url.isRelative():
            return super().loadResource(kind, url)
        scheme = "dark" if theme().dark else "light"
        path = resource_in_language(language(), "guide", "pictures", scheme, url.fileName())
        ratio = self.devicePixelRatioF()
        picture = QImage(str(path)).scaledToWidth(
            round(_PICTURE_WIDTH * ratio), Qt.TransformationMode.SmoothTransformation
        )
        picture.setDevicePixelRatio(ratio)
        return picture

    def scroll_to_heading(self, fragment: str) -> None:
        """Bring the heading in sight whose words make this fragment of a link."""
        block = self.document().begin()
        while block.isValid():
            words = block.text().lower().replace(" ", "-")
            if block.blockFormat().headingLevel() and words == fragment:
                bounds = self.document().documentLayout().blockBoundingRect(block)
                self.verticalScrollBar().setValue(int(bounds.top()) - GRID)
                return
            block = block.next()


class Guide(QWidget):
    """A window of its own that may stay open beside the work."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setWindowTitle(said("Guide"))
        self.resize(GRID * 110, GRID * 82)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        self.contents = QListWidget()
        self.contents.setAccessibleName(said("Pages of the guide"))
        self.contents.setFixedWidth(GRID * 24)
        self.contents.setSpacing(5)
        self._names = [
            name for name, _ in GUIDE_PAGES if resource("guide").joinpath(f"{name}.md").is_file()
        ]
        titles = dict(GUIDE_PAGES)
        for name in self._names:
            self.contents.addItem(QListWidgetItem(said(titles[name])))
        self.contents.currentRowChanged.connect(self._on_row)
        self.text = GuideText()
        self.text.setAccessibleName(said("Guide"))
        self.text.setOpenLinks(False)
        self.text.anchorClicked.connect(self._on_link)
        self.text.document().setDocumentMargin(GRID * 3)
        self.text.setFrameShape(QTextBrowser.Shape.NoFrame)
        row.addWidget(self.contents)
        row.addWidget(Separator(vertical=True))
        row.addWidget(self.text, 1)
        theme().changed.connect(self._show_again)

    def show_page(self, name: str) -> None:
        """Open the guide at a page; one that has none opens the first."""
        self.contents.setCurrentRow(self._names.index(name) if name in self._names else 0)
        self.show()
        self.raise_()
        self.activateWindow()

    @Slot(int)
    def _on_row(self, number: int) -> None:
        if 0 <= number < len(self._names):
            chapter = resource_in_language(language(), "guide", f"{self._names[number]}.md")
            self.text.setMarkdown(chapter.read_text(encoding="utf-8"))
            self.text.verticalScrollBar().setValue(0)

    @Slot()
    def _show_again(self) -> None:
        self._on_row(self.contents.currentRow())

    @Slot(QUrl)
    def _on_link(self, url: QUrl) -> None:
        name = url.fileName().removesuffix(".md")
        if url.isRelative() and name in self._names:
            self.contents.setCurrentRow(self._names.index(name))
            if url.hasFragment():
                self.text.scroll_to_heading(url.fragment())
        elif url.scheme() == "https":
            QDesktopServices.openUrl(url)
