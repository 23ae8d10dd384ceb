"""Medians of wall clock and processor time, and the table that shows them."""

from __future__ import annotations

import os
import statistics
import subprocess
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

RUNS = 7


@dataclass(frozen=True, kw_only=True)
class Timing:
    """One kind of work: medians of seconds on the wall clock and on the processor."""

    name: str
    wall: float
    cpu: float
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Topic:
    """Ways to do the same work: ours first, then peers that it is compared with."""

    title: str
    ours: Timing
    others: tuple[Timing, ...] = ()

    def lines(self) -> list[str]:
        """The rows of the table; the last column says how many times as long as ours."""
        rows = [_row(self.ours, "")]
        rows += [_row(one, f"{one.wall / self.ours.wall:6.2f} x") for one in self.others]
        return [self.title, *rows]


def _row(one: Timing, ratio: str) -> str:
    return f"  {one.name:<52} {1e3 * one.wall:9.1f} ms {1e3 * one.cpu:9.1f} ms  {ratio:<9} {one.note}".rstrip()


def measured(name: str, work: Callable[[], object], *, runs: int = RUNS, note: str = "") -> Timing:
    """The medians of several runs in this process, after one that does not count."""
    work()
    return _medians(name, [_once(work, time.process_time) for _ in range(runs)], note)


def launched(name: str, command: Sequence[str], *, runs: int = RUNS) -> Timing:
    """The medians of several runs of a command in fresh processes, after one that does not count."""

    def work() -> None:
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)

    work()
    return _medians(name, [_once(work, _children_cpu) for _ in range(runs)], "")


def _once(work: Callable[[], object], cpu: Callable[[], float]) -> tuple[float, float]:
    wall, before = time.perf_counter(), cpu()
    work()
    return time.perf_counter() - wall, cpu() - before


def _children_cpu() -> float:
    times = os.times()
    return times.children_user + times.children_system


def _medians(name: str, pairs: Sequence[tuple[float, float]], note: str) -> Timing:
    wall, cpu = (statistics.median(column) for column in zip(*pairs, strict=True))
    return Timing(name=name, wall=wall, cpu=cpu, note=note)
