"""``python -m ldapp`` is the command ``ldapp``."""

import sys

from ldapp.cli import main

sys.exit(main())
