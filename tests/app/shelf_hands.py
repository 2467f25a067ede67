"""Hands on the shelf's window."""


def settle(dialog, qtbot):
    """Wait until everything asked for is done and shown."""
    qtbot.wait(60)
    qtbot.waitUntil(
        lambda: not dialog._keeper.is_busy and not dialog._worker.is_busy
        and not dialog._soon.isActive(), timeout=10_000,
    )  # fmt: skip
    qtbot.wait(10)
