"""Panelwright: panels of cloth, resin, core and timber; numbers with their working and source."""

import os

# One thread for the small matrices of plates: several wait on each other, and on a busy machine a
# plate then takes ten times as long. It counts only before numpy is loaded; what is set stays.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

__version__ = "0.1.0"
