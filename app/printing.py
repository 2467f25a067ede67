"""A printer for pages: asked for with their paper, and nothing scaled."""

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QDialog, QWidget

from app.asking import complain
from app.paper.sheets import Sheets

if TYPE_CHECKING:  # a library of its own that only printing needs
    from PySide6.QtPrintSupport import QPrinter


def asked_printer(parent: QWidget, sheets: Sheets) -> "QPrinter | None":
    """Ask for a printer for these pages; None if the user gives up, or if there is no way."""
    try:
        from PySide6.QtPrintSupport import QPrintDialog, QPrinter
    except ImportError:
        complain(parent, "There is no way to print here", "Save a PDF and print that")
        return None
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(sheets.title)
    printer.setFullPage(True)
    printer.setPageLayout(sheets.layout())
    dialog = QPrintDialog(printer, parent)
    dialog.setOption(QPrintDialog.PrintDialogOption.PrintPageRange, on=False)
    return printer if dialog.exec() == QDialog.DialogCode.Accepted else None
