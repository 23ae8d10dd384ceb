"""`make` of the demo from a fresh process: time, and the memory of the program and of its worker."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

from benchmarks.timing import Timing

_PAUSE = 0.02


def made() -> tuple[Timing, str]:
    """The time of one whole `demo`, and in words how much memory its processes had at their highest."""
    with tempfile.TemporaryDirectory() as folder:
        before, start = os.times(), time.perf_counter()
        process = subprocess.Popen(
            [sys.executable, "-m", "pourwright.cli.main", "demo", "--into", folder, "--quiet"],
            stdout=subprocess.DEVNULL,
        )
        watch = _Watch(process.pid)
        process.wait()
        wall, after = time.perf_counter() - start, os.times()
        watch.join()
    cpu = after.children_user + after.children_system - before.children_user - before.children_system
    return Timing(name="demo, once, both processes", wall=wall, cpu=cpu), watch.words()


class _Watch(threading.Thread):
    """Looks at a process and its children until it ends; on Linux, by /proc."""

    def __init__(self, pid: int) -> None:
        super().__init__(daemon=True)
        self._pid = pid
        self.highest: dict[int, float] = {}
        self.together = 0.0
        self.start()

    def run(self) -> None:
        """Sums what the processes hold at the same time, shared pages counted once for each."""
        while (now := _resident_mb(self._pid)) is not None:
            found = {self._pid: now} | {child: _resident_mb(child) or 0.0 for child in _children(self._pid)}
            self.together = max(self.together, sum(found.values()))
            for pid, held in found.items():
                self.highest[pid] = max(self.highest.get(pid, 0.0), held)
            time.sleep(_PAUSE)

    def words(self) -> str:
        """The highest of each process, the program first, and of all together."""
        if not self.highest:
            return "memory: not known on this system"
        each = " + ".join(f"{held:.0f}" for held in self.highest.values() if held > 20.0)
        return f"memory: {self.together:.0f} MB together at the highest; highest of each process {each} MB"


def _resident_mb(pid: int) -> float | None:
    try:
        lines = Path(f"/proc/{pid}/status").read_text(encoding="ascii", errors="replace").splitlines()
    except OSError:
        return None
    held = [line for line in lines if line.startswith("VmRSS:")]
    return int(held[0].split()[1]) / 1024 if held else None


def _children(pid: int) -> list[int]:
    try:
        tasks = list(Path(f"/proc/{pid}/task").iterdir())
        return [int(child) for task in tasks for child in (task / "children").read_text(encoding="ascii").split()]
    except OSError:
        return []
