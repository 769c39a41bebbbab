"""Colours, type sizes and the small style sheet, in light and dark."""

from __future__ import annotations

from enum import Enum
from typing import Literal, TypeAlias

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QColor, QFont, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication

GRID = 8
"""Distances are multiples of this, in device-independent pixels."""
ROW_HEIGHT = 30
_HALF_LIGHT = 128
STYLE = "fusion"
"""Qt's own style, the same on every system."""

Role: TypeAlias = Literal[
    "window",
    "base",
    "alternate",
    "text",
    "muted",
    "separator",
    "outline",
    "accent",
    "accent_text",
    "on_accent",
    "chosen",
    "amber",
    "red",
    "raised",
]

_LIGHT: dict[Role, str] = {
    "window": "#f3f4f2",
    "base": "#ffffff",
    "alternate": "#f8f9f7",
    "raised": "#ebedea",
    "text": "#1b2224",
    "muted": "#566165",
    "separator": "#d5d9d6",
    "outline": "#7d868a",
    "accent": "#0f5c66",
    "accent_text": "#0f5c66",
    "on_accent": "#ffffff",
    "chosen": "#d9e8e9",
    "amber": "#8a5200",
    "red": "#a4261d",
}
_DARK: dict[Role, str] = {
    "window": "#1c2123",
    "base": "#15191b",
    "alternate": "#1a1f21",
    "raised": "#272e31",
    "text": "#e4e8e7",
    "muted": "#a0abad",
    "separator": "#384144",
    "outline": "#6f7b7f",
    "accent": "#14656f",
    "accent_text": "#7ac5cd",
    "on_accent": "#ffffff",
    "chosen": "#1f4249",
    "amber": "#e6b052",
    "red": "#f2948a",
}


class TypeSize(Enum):
    """The four type sizes, as factors of the system's own."""

    SMALL = 0.9
    NORMAL = 1.0
    LARGE = 1.35
    FIGURE = 2.2


Scheme: TypeAlias = Literal["system", "light", "dark"]


class Theme(QObject):
    """The look in force; one per application, reached through :func:`theme`."""

    changed = Signal()
    """Colours changed: whoever keeps an icon or a brush makes it anew."""

    def __init__(self, app: QApplication, *, with_sheet: bool = True) -> None:
        super().__init__(app)
        self._app = app
        self._with_sheet = with_sheet
        self._scheme: Scheme = "system"
        self._dark = False
        self._base_size = max(app.font().pointSizeF(), 9.0)
        # Before our palette is set, the application's is the system's.
        self._system_dark = app.palette().color(QPalette.ColorRole.Window).lightness() < _HALF_LIGHT
        if with_sheet:
            self._follow_system()
        font = app.font()
        _use_tabular_figures(font)
        app.setFont(font)
        self._apply()

    @property
    def dark(self) -> bool:
        """Whether the dark colours are in force."""
        return self._dark

    @property
    def scheme(self) -> Scheme:
        """What was chosen: the system's, light or dark."""
        return self._scheme

    def choose(self, scheme: Scheme) -> None:
        """Follow the system, or stay light or dark."""
        self._scheme = scheme
        self._apply()

    def colour(self, role: Role) -> QColor:
        """Return the colour of a role in force now."""
        return QColor((_DARK if self._dark else _LIGHT)[role])

    def font(self, size: TypeSize = TypeSize.NORMAL, *, bold: bool = False) -> QFont:
        """Return the font of one of the four sizes, with figures of one width."""
        font = QFont(self._app.font())
        font.setPointSizeF(self._base_size * size.value)
        if bold:
            font.setWeight(QFont.Weight.DemiBold)
        _use_tabular_figures(font)
        return font

    @Slot()
    def _on_system_change(self) -> None:
        from PySide6.QtCore import Qt  # noqa: PLC0415 - makes some hundred enumerations

        self._system_dark = self._app.styleHints().colorScheme() == Qt.ColorScheme.Dark
        if self._scheme == "system":
            self._apply()

    def _apply(self) -> None:
        self._dark = self._scheme == "dark" or (self._scheme == "system" and self._system_dark)
        self._app.setPalette(self._palette())
        if self._with_sheet:
            self._app.setStyleSheet(self._style_sheet())
        self.changed.emit()

    def _follow_system(self) -> None:
        """Take our style, what the system changes, and show the focus; no paint waits for these."""
        from ldapp.desktop.focus_ring import FocusFollower  # noqa: PLC0415 - loads more of Qt

        FocusFollower(self._app, lambda: (self.colour("accent_text"), self.colour("base")))
        self._app.styleHints().colorSchemeChanged.connect(self._on_system_change)
        if self._app.style().name().lower() != STYLE:
            self._app.setStyle(STYLE)

    def use_sheet(self) -> None:
        """Put the style sheet in force, where it was left out for the first paint."""
        if not self._with_sheet:
            self._with_sheet = True
            self._follow_system()
            self._app.setStyleSheet(self._style_sheet())

    def _palette(self) -> QPalette:
        colour = self.colour
        palette = QPalette()
        roles: dict[QPalette.ColorRole, Role] = {
            QPalette.ColorRole.Window: "window",
            QPalette.ColorRole.WindowText: "text",
            QPalette.ColorRole.Base: "base",
            QPalette.ColorRole.AlternateBase: "alternate",
            QPalette.ColorRole.Text: "text",
            QPalette.ColorRole.Button: "raised",
            QPalette.ColorRole.ButtonText: "text",
            QPalette.ColorRole.BrightText: "on_accent",
            QPalette.ColorRole.ToolTipBase: "base",
            QPalette.ColorRole.ToolTipText: "text",
            QPalette.ColorRole.PlaceholderText: "muted",
            QPalette.ColorRole.Highlight: "accent",
            QPalette.ColorRole.HighlightedText: "on_accent",
            QPalette.ColorRole.Link: "accent_text",
            QPalette.ColorRole.LinkVisited: "accent_text",
            QPalette.ColorRole.Mid: "separator",
            QPalette.ColorRole.Accent: "accent",
        }
        for role, name in roles.items():
            palette.setColor(role, colour(name))
        faint = QColor(colour("muted"))
        faint.setAlphaF(0.7)
        for role in (
            QPalette.ColorRole.WindowText,
            QPalette.ColorRole.Text,
            QPalette.ColorRole.ButtonText,
        ):
            palette.setColor(QPalette.ColorGroup.Disabled, role, faint)
        return palette

    def _style_sheet(self) -> str:
        from ldapp.resources import resource  # noqa: PLC0415 - the first paint does without

        names = {role: self.colour(role).name() for role in _LIGHT}
        return _SHEET.format(
            **names, check_mark=resource("icons", "check_on_accent.svg").as_posix()
        )


_SHEET = """
QToolTip {{ color: {text}; background: {base}; border: 1px solid {separator}; padding: 4px; }}
QDialogButtonBox {{ dialogbuttonbox-buttons-have-icons: 0; }}
QPushButton[primary="true"] {{
  background: {accent}; color: {on_accent}; border: 1px solid {accent}; border-radius: 4px;
  padding: 5px 16px; font-weight: 600;
}}
QPushButton[primary="true"]:hover {{ background: {accent}; border-color: {text}; }}
QPushButton[primary="true"]:disabled {{
  background: {raised}; color: {muted}; border-color: {separator};
}}
QPushButton[link="true"] {{
  background: transparent; border: none; color: {accent_text}; text-align: left; padding: 2px 4px;
}}
QPushButton[link="true"]:hover, QPushButton[link="true"]:focus {{ text-decoration: underline; }}
QHeaderView::section {{
  background: {window}; color: {muted}; border: none; border-bottom: 1px solid {separator};
  padding: 6px 8px;
}}
QHeaderView::section:hover {{ color: {text}; }}
QTableView, QTreeView, QListView {{
  border: none; background: {base}; alternate-background-color: {alternate};
  selection-background-color: {chosen}; selection-color: {text}; outline: none;
}}
QTableCornerButton::section {{ background: {window}; border: none; }}
QLabel[muted="true"] {{ color: {muted}; }}
QLabel[amber="true"] {{ color: {amber}; }}
QLabel[red="true"] {{ color: {red}; }}
QLineEdit, QPlainTextEdit {{
  background: {base}; border: 1px solid {outline}; border-radius: 3px; padding: 3px 5px;
  selection-background-color: {accent}; selection-color: {on_accent};
}}
QLineEdit:focus, QPlainTextEdit:focus {{ border: 2px solid {accent_text}; padding: 2px 4px; }}
QLineEdit:disabled, QPlainTextEdit:disabled {{ color: {muted}; border-color: {separator}; }}
QComboBox QLineEdit, QComboBox QLineEdit:focus {{ border: none; padding: 0; }}
QAbstractItemView QLineEdit, QAbstractItemView QLineEdit:focus {{
  border: 1px solid {accent_text}; border-radius: 0; padding: 0 6px;
}}
QTabBar {{ background: transparent; qproperty-drawBase: 0; }}
QTabWidget::pane {{ border: none; border-top: 1px solid {separator}; }}
QAbstractScrollArea::corner {{ background: transparent; border: none; }}
QCheckBox::indicator, QAbstractItemView::indicator {{
  width: 14px; height: 14px; border: 1px solid {outline}; border-radius: 3px; background: {base};
}}
QCheckBox::indicator:checked, QAbstractItemView::indicator:checked {{
  background: {accent}; border-color: {accent}; image: url("{check_mark}");
}}
QCheckBox::indicator:disabled {{ border-color: {separator}; }}
QTabBar::tab {{
  background: transparent; color: {muted}; border: none; border-bottom: 2px solid transparent;
  padding: 6px 12px; margin: 0;
}}
QTabBar::tab:hover {{ color: {text}; }}
QTabBar::tab:selected {{ color: {text}; border-bottom: 2px solid {accent_text}; }}
QTabBar::tab:focus {{ color: {accent_text}; }}
QScrollBar:vertical {{ background: transparent; width: 12px; margin: 0; }}
QScrollBar:horizontal {{ background: transparent; height: 12px; margin: 0; }}
QScrollBar::handle {{ background: {outline}; border-radius: 3px; }}
QScrollBar::handle:vertical {{ min-height: 32px; margin: 2px 3px; }}
QScrollBar::handle:horizontal {{ min-width: 32px; margin: 3px 2px; }}
QScrollBar::handle:hover {{ background: {muted}; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
QLineEdit[refused="true"], QPlainTextEdit[refused="true"] {{ border: 2px solid {red}; }}
QCheckBox::indicator:unchecked, QRadioButton::indicator:unchecked {{
  border: 1px solid {muted}; background: {base}; width: 13px; height: 13px;
}}
QCheckBox::indicator:unchecked {{ border-radius: 2px; }}
QRadioButton::indicator:unchecked {{ border-radius: 7px; }}
QRadioButton, QCheckBox {{ border: 1px solid transparent; padding: 2px 4px; }}
QRadioButton::indicator:checked {{
  border: 4px solid {accent_text}; border-radius: 7px; background: {base}; width: 7px; height: 7px;
}}
QRadioButton::indicator:checked:disabled {{ border-color: {muted}; }}
QCheckBox::indicator:unchecked:disabled, QRadioButton::indicator:unchecked:disabled {{
  border-color: {separator};
}}
QSplitter::handle {{ background: {separator}; }}
QSplitter::handle:horizontal {{ width: 1px; }}
QSplitter::handle:vertical {{ height: 1px; }}
QScrollArea {{ border: none; }}
QStatusBar {{ background: {window}; border-top: 1px solid {separator}; }}
QStatusBar::item {{ border: none; }}
QToolBar {{ border: none; border-bottom: 1px solid {separator}; spacing: 4px; padding: 4px 8px; }}
"""

_theme: list[Theme] = []


def apply_theme(app: QApplication, *, with_sheet: bool = True) -> Theme:
    """Give the application its look; following calls return the same theme.

    Without the sheet an empty frame is painted sooner; ``use_sheet`` adds it.
    """
    if not _theme or _theme[0].parent() is not app:
        _theme[:] = [Theme(app, with_sheet=with_sheet)]
    return _theme[0]


def theme() -> Theme:
    """Return the application's theme, making it where nobody has done so yet."""
    app = QGuiApplication.instance()
    if not isinstance(app, QApplication):
        raise RuntimeError("The theme needs a running application.")
    return apply_theme(app)


def colour(role: Role) -> QColor:
    """Return the colour of a role in force now."""
    return theme().colour(role)


def type_font(size: TypeSize, *, bold: bool = False) -> QFont:
    """Return the font of one of the four sizes."""
    return theme().font(size, bold=bold)


def _use_tabular_figures(font: QFont) -> None:
    # Fonts without the feature ignore it; Qt knows it since 6.7.
    font.setFeature(QFont.Tag("tnum"), 1)
