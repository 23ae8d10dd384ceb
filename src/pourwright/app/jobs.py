"""Run slow steps in worker processes: progress comes out, a stop goes in, and a dead parent takes them along."""

from __future__ import annotations

import contextlib
import importlib
import multiprocessing
import os
import signal
import threading
import time
import traceback
from collections.abc import Callable, Iterator
from multiprocessing.connection import Connection
from typing import Any

from pourwright.basics.errors import Cancelled, KernelFault, PourwrightError
from pourwright.basics.progress import Report, silent

_POLL_SECONDS = 0.05
_GRACE_SECONDS = 1.0


class Worker:
    """One spawned process that runs one job at a time.

    A job is named by "package.module:function"; it is called with the given keywords and `report=`.
    Spawned and never forked: a forked child would inherit whatever the parent holds open.

    Examples
    --------
    >>> with Worker() as worker:  # doctest: +SKIP
    ...     worker.start("pourwright.app.exact_job:warm_up")
    ...     worker.result()
    """

    def __init__(self) -> None:
        context = multiprocessing.get_context("spawn")
        self._pipe, child = context.Pipe()
        self._lifeline, child_lifeline = context.Pipe()
        self._stop = context.Event()
        self._spare_seconds = 0.0
        self._process = context.Process(
            target=_serve, args=(child, child_lifeline, self._stop), daemon=True, name="pourwright-worker"
        )
        with _ctrl_c_kept_for_the_parent():
            self._process.start()
        child.close()
        child_lifeline.close()

    def __enter__(self) -> Worker:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def start(self, job: str, **keywords: Any) -> None:
        """Begin a job and return at once."""
        self._stop.clear()
        self._pipe.send((job, keywords))

    def result(self, report: Report = silent, *, spare_seconds: float = 0.0) -> Any:
        """Wait for the job that was started; what it raised is raised here.

        Parameters
        ----------
        report : may raise Cancelled, which stops the job.
        spare_seconds : s that a stopped job has to end by itself; when it does, the process lives on.

        Raises
        ------
        Cancelled
            `report` raised it: the job is told to stop, and its process ended if it does not listen.
        KernelFault
            The process died.
        """
        self._spare_seconds = spare_seconds
        while True:
            kind, content = self._next_message(report)
            if kind == "progress":
                self._pass_on(report, *content)
            elif kind == "done":
                return content
            else:
                raise content

    def close(self) -> None:
        """End the process, whatever it is doing."""
        if self._process.is_alive():
            self._process.terminate()
            self._process.join(_GRACE_SECONDS)
            if self._process.is_alive():
                self._process.kill()
                self._process.join()
        self._pipe.close()
        self._lifeline.close()

    def _next_message(self, report: Report) -> tuple[str, Any]:
        try:
            while not self._pipe.poll(_POLL_SECONDS):
                if not self._process.is_alive() and not self._pipe.poll(0):
                    raise EOFError
                self._pass_on(report, -1.0, "")
            message: tuple[str, Any] = self._pipe.recv()
        except (EOFError, ConnectionResetError) as error:
            self._process.join(_GRACE_SECONDS)
            code = self._process.exitcode
            raise KernelFault(
                f"the worker process ended by itself (code {code})", advice="try again; a smaller part may help"
            ) from error
        return message

    def _pass_on(self, report: Report, fraction: float, words: str) -> None:
        try:
            report(fraction, words)
        except Cancelled:
            self._stop.set()
            if not self._ends_by_itself():
                self.close()
            raise

    def _ends_by_itself(self) -> bool:
        """Whether a job that was told to stop says so before its time is up."""
        end = time.monotonic() + self._spare_seconds
        while (left := end - time.monotonic()) > 0 and self._process.is_alive():
            try:
                if self._pipe.poll(min(left, _POLL_SECONDS)) and self._pipe.recv()[0] != "progress":
                    return True
            except (EOFError, ConnectionResetError):
                return False
        return False

    @property
    def alive(self) -> bool:
        """Whether the process can take another job."""
        return self._process.is_alive()


@contextlib.contextmanager
def _ctrl_c_kept_for_the_parent() -> Iterator[None]:
    """A terminal sends Ctrl-C to every process; only the parent hears it, and ends its worker.

    What is blocked here stays blocked in a process started meanwhile; the parent hears it a moment later.
    """
    if not hasattr(signal, "pthread_sigmask"):  # Windows
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _serve(pipe: Connection, lifeline: Connection, stop: Any) -> None:
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    threading.Thread(target=_die_with_parent, args=(lifeline,), daemon=True).start()
    while True:
        try:
            job, keywords = pipe.recv()
        except (EOFError, KeyboardInterrupt):
            return
        pipe.send(_run(job, keywords, pipe, stop))


def _run(job: str, keywords: dict[str, Any], pipe: Connection, stop: Any) -> tuple[str, Any]:
    def report(fraction: float, words: str) -> None:
        if stop.is_set():
            raise Cancelled("stopped")
        pipe.send(("progress", (fraction, words)))

    try:
        return ("done", _named(job)(report=report, **keywords))
    except PourwrightError as error:
        return ("error", error)
    except KeyboardInterrupt:
        return ("error", Cancelled("stopped"))
    except Exception as error:  # the border of the process: whatever it is must reach the parent as words
        detail = traceback.format_exc(limit=8)
        return ("error", KernelFault(f"{type(error).__name__}: {error}", advice=detail))


def _named(job: str) -> Callable[..., Any]:
    module, name = job.split(":")
    function: Callable[..., Any] = getattr(importlib.import_module(module), name)
    return function


def _die_with_parent(lifeline: Connection) -> None:
    try:
        lifeline.recv()
    except (EOFError, OSError):
        os._exit(0)
