"""Moments as the system writes them."""

from PySide6.QtCore import QDateTime, QLocale


def moment_text(when: float) -> str:
    """Return a moment, in seconds since 1970, as day and time."""
    moment = QDateTime.fromSecsSinceEpoch(int(when))
    today = moment.date() == QDateTime.currentDateTime().date()
    locale, short = QLocale(), QLocale.FormatType.ShortFormat
    day = "today" if today else locale.toString(moment.date(), "d MMMM yyyy")
    return f"{day}, {locale.toString(moment.time(), short)}"
