"""Keep the exact kernel from printing: standard output belongs to the answer."""

from __future__ import annotations

from OCP.Message import Message, Message_Gravity


def be_quiet() -> None:
    """Let the exact kernel's own printers say nothing below a failure of the program itself."""
    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Gravity.Message_Fail)
