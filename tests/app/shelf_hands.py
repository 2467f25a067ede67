"""Hands on the shelf's window."""


def settle(dialog, qtbot):
    """Wait until everything asked for is done and shown: nothing runs, round after round."""
    rounds = []

    def is_at_rest():
        busy = dialog._keeper.is_busy or dialog._worker.is_busy or dialog._soon.isActive()
        rounds.append(not busy)
        return len(rounds) > 3 and all(rounds[-3:])

    qtbot.waitUntil(is_at_rest, timeout=10_000)
