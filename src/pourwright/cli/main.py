"""The `pourwright` command: finds the command, runs it, turns errors into words and exit codes."""

from __future__ import annotations

import sys

from pourwright import __version__


def run() -> None:
    """Entry point: run the command line and leave with its exit code."""
    try:
        code = main(sys.argv[1:])
    except KeyboardInterrupt:  # before the command line itself is there to hear it
        code = 3
    sys.exit(code)


def main(words: list[str]) -> int:
    """Run one command line.

    Returns
    -------
    0 all well, 1 done but a check failed, 2 bad input, 3 stopped by the person, 4 a fault of ours.

    Examples
    --------
    >>> main(["--version"])  # doctest: +ELLIPSIS
    pourwright ...
    0
    """
    if words == ["--version"]:
        print(f"pourwright {__version__}")
        return 0
    from pourwright.cli.frame import guarded

    return guarded(words)


if __name__ == "__main__":
    run()
