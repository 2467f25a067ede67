"""What things cost, for ratios: processor time, so that others on the machine hardly matter."""

import time


def cost_s(do, times=3):
    """Return the least processor time of some runs, in seconds; never nought."""
    runs = []
    for _ in range(times):
        start = time.process_time()
        do()
        runs.append(time.process_time() - start)
    return max(min(runs), 1e-6)
