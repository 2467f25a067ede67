"""The window and everything that needs Qt."""

import os

# The fabric's blocks are small: a second thread of linear algebra only waits for the first, or
# takes the core that the window needs (measured: 28 s instead of 1.6 s on two busy cores). It
# has to be said before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")
