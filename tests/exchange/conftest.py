"""One of the PDF writers of these tests is Qt's, which needs no screen for it."""

from __future__ import annotations

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
