"""The window and everything that needs Qt."""

import os
import sys

# The fabric's blocks are small: a second thread of linear algebra only waits for the first, or
# takes the core that the window needs (measured: 28 s instead of 1.6 s on two busy cores). It
# has to be said before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")

# A thread that has given the interpreter away asks for it back after this long. The window's gives
# it away in every larger sum of numpy and every stroke of Qt, so that with the usual 5 ms it would
# stand still for most of a second while a worker computes.
sys.setswitchinterval(0.0005)
