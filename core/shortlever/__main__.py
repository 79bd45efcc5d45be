"""``python -m shortlever``."""

import sys

from shortlever.cli import main

sys.exit(main())
