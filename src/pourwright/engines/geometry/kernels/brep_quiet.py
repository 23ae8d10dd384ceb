"""Keep the exact kernel from printing: standard output belongs to the answer."""

from __future__ import annotations

from OCP.Message import Message


def be_quiet() -> None:
    """Take away the exact kernel's own printers; what goes wrong is seen by its status."""
    Message.DefaultMessenger_s().ChangePrinters().Clear()
