"""No test needs a screen: windows are drawn where nobody sees them unless told otherwise."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
