from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator

import pytest
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from ldapp.desktop.icons import icon
from ldapp.desktop.pages.marking_items import INK
from ldapp.desktop.theme import Role, Scheme, Theme, apply_theme
from ldapp.desktop.widgets.pieces import MessageStrip
from ldapp.resources import resource

GROUNDS: tuple[Role, ...] = ("window", "base", "alternate", "raised", "chosen")
TEXTS: tuple[Role, ...] = ("text", "muted", "accent_text", "amber", "red")


@pytest.fixture
def theme(qapp: QApplication) -> Iterator[Theme]:
    one = apply_theme(qapp)
    yield one
    one.choose("system")


def luminance(colour: QColor) -> float:
    """Return the relative luminance of WCAG 2.2."""

    def linear(value: float) -> float:
        return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(one) for one in (colour.redF(), colour.greenF(), colour.blueF()))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: QColor, other: QColor) -> float:
    """Return the contrast ratio of WCAG 2.2, success criterion 1.4.3."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_of_black_on_white_is_21() -> None:
    assert round(contrast(QColor("black"), QColor("white")), 2) == 21


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_can_be_read_on_every_ground(theme: Theme, scheme: Scheme) -> None:
    theme.choose(scheme)
    weak = {
        (text, ground): round(contrast(theme.colour(text), theme.colour(ground)), 2)
        for text in TEXTS
        for ground in GROUNDS
        if contrast(theme.colour(text), theme.colour(ground)) < 4.5
    }
    assert weak == {}
    assert contrast(theme.colour("on_accent"), theme.colour("accent")) >= 4.5


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_edges_of_fields_are_seen(theme: Theme, scheme: Scheme) -> None:
    """WCAG 2.2, success criterion 1.4.11: 3 : 1 for what shows where a field is."""
    theme.choose(scheme)
    for ground in ("window", "base"):
        assert contrast(theme.colour("outline"), theme.colour(ground)) >= 3  # type: ignore[arg-type]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_ring_of_the_focus_is_seen_on_a_primary_button_too(
    theme: Theme, scheme: Scheme
) -> None:
    theme.choose(scheme)
    ground = theme.colour("base")
    assert contrast(theme.colour("accent_text"), ground) >= 3
    accent = theme.colour("accent")
    assert max(contrast(one, accent) for one in (theme.colour("accent_text"), ground)) >= 3


@pytest.mark.parametrize("ground", ["white", "black"])
def test_a_marking_is_seen_on_bright_and_dark_photos(ground: str) -> None:
    """The ink has a white line round it: one of the two is seen."""
    assert max(contrast(ink, QColor(ground)) for ink in (INK, QColor("white"))) >= 3


def test_the_choice_is_kept_over_the_systems(theme: Theme) -> None:
    theme.choose("dark")
    assert theme.dark
    theme.choose("light")
    assert not theme.dark


@pytest.mark.parametrize("ground", ["#202326", "#efefef"])
def test_the_systems_colours_are_told_by_its_palette(ground: str) -> None:
    # A process of its own: an application has one look from its start.
    script = f"""
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication
from ldapp.desktop.theme import apply_theme
app = QApplication([])
system = app.palette()
system.setColor(QPalette.ColorRole.Window, QColor("{ground}"))
app.setPalette(system)
theme = apply_theme(app, with_sheet=False)
assert not app.styleSheet()
theme.use_sheet()
assert app.styleSheet()
print(theme.dark, app.palette().color(QPalette.ColorRole.Window).name())
"""
    told = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, timeout=60
    )
    assert told.stdout.split() == (
        ["True", "#1c2123"] if ground == "#202326" else ["False", "#f3f4f2"]
    )


def test_the_frame_is_there_before_libraries_that_it_does_not_need() -> None:
    # The frame as it is imported; what it needs later is loaded after it has been painted.
    script = "import sys, ldapp.app, ldapp.desktop.start as start; print(*sys.modules)"
    told = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, timeout=60
    )
    loaded = set(told.stdout.split())
    late = {"babel", "pydantic", "sqlalchemy", "platformdirs", "ldapp.casework.office"}
    assert "ldapp.desktop.main_window" in loaded
    assert not late & loaded


def test_icons_are_drawn_in_one_stroke_weight_and_in_the_texts_colour(theme: Theme) -> None:
    for path in resource("icons").glob("*.svg"):
        drawing = path.read_text(encoding="utf-8")
        if path.stem == "check_on_accent":
            continue
        assert set(re.findall(r'stroke-width="([\d.]+)"', drawing)) == {"1.6"}, path.name
        assert set(re.findall(r'stroke="([^"]+)"', drawing)) == {"currentColor"}, path.name
    theme.choose("light")
    light = icon("kit").pixmap(32, 32).toImage()
    theme.choose("dark")
    dark = icon("kit").pixmap(32, 32).toImage()
    assert light != dark


def test_the_mark_of_a_message_follows_light_and_dark(qtbot: QtBot, theme: Theme) -> None:
    strip = MessageStrip()
    qtbot.addWidget(strip)
    theme.choose("light")
    strip.say("Something to read")
    sign = strip.findChild(QLabel)
    assert sign is not None
    light = sign.pixmap().toImage()
    theme.choose("dark")
    assert sign.pixmap().toImage() != light
