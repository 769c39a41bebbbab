"""No test needs a screen, and every test speaks English unless it says otherwise.

Windows are drawn where nobody sees them, whatever the machine is set to.
"""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["LDAPP_LANGUAGE"] = "en"
