"""The menu by which a person chooses the language of the window."""

from __future__ import annotations

from PySide6.QtCore import QSettings, Signal, Slot
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu, QWidget

from ldapp.desktop.spoken_language import LANGUAGE_SETTING, named_language, wanted_language
from ldapp.language import language, languages, own_name, said


class LanguageMenu(QMenu):
    """Every language that the program speaks, by its own name; it is spoken from the next start."""

    told = Signal(str)
    """What the choice brings about, in a sentence."""

    def __init__(self, settings: QSettings, parent: QWidget | None = None) -> None:
        super().__init__(said("Lan&guage"), parent)
        self._settings = settings
        self.choices = QActionGroup(self)
        chosen = str(settings.value(LANGUAGE_SETTING, ""))
        self._offer("", said("Language of the &system"), chosen)
        for code in languages():
            self._offer(code, own_name(code), chosen)
        self.choices.triggered.connect(self._on_chosen)

    def _offer(self, code: str, text: str, chosen: str) -> None:
        action = QAction(text, self)
        action.setCheckable(True)
        action.setData(code)
        action.setChecked(code == chosen)
        self.choices.addAction(action)
        self.addAction(action)

    @Slot(QAction)
    def _on_chosen(self, action: QAction) -> None:
        self._settings.setValue(LANGUAGE_SETTING, action.data())
        wanted = wanted_language(self._settings)
        name = own_name(wanted)
        if named_language():
            self.told.emit(
                said(
                    "LDAPP_LANGUAGE in the environment decides: the program speaks {language}. "
                    "What is chosen here is kept for later.",
                    language=name,
                )
            )
        elif wanted == language():
            self.told.emit(said("The program goes on speaking {language}.", language=name))
        else:
            self.told.emit(
                said("The program speaks {language} from its next start on.", language=name)
            )
