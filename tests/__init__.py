"""The checks. Folders mirror the packages; `agreement` holds what is checked against the world outside."""

import os

# Tests run in as many processes as there are processors, so each has one thread, and so have the commands it
# starts; tests of threads set their own number. Linear algebra counts its threads as it is loaded.
for _threads in ("HOLESIM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_threads, "1")
