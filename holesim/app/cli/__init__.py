"""The command line: one module a command, which reads files and options, calls the package, and prints.

Everything heavy is imported by the command that needs it, so that ``--help`` is quick.
"""

import os
from typing import Final

# Pieces of work share the processors already. Threads of the linear algebra would wait for one another.
_ONE_THREAD: Final = ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")
for _library in _ONE_THREAD:
    os.environ.setdefault(_library, "1")
