"""From one small rubber part to a mould kit that prints, the pours to weigh and a bench sheet."""

__version__ = "0.1.0"
