"""Looks at a project while it is edited: the newest request wins, and nothing older is shown after it.

The work is done in a process of its own, which remembers what it made, so that an edit makes only what it changes.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import replace

from pourwright.app.jobs import Worker
from pourwright.app.preview_job import STAGES, Look, Stage
from pourwright.app.project_files import Loaded, standing
from pourwright.basics.errors import Cancelled, PourwrightError
from pourwright.basics.progress import Report
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.domain.part import Part, Project
from pourwright.steps.planning.pattern_part import pattern_part

_LOOK_JOB = "pourwright.app.preview_job:look"
_WARM_JOB = "pourwright.app.preview_job:warm_up"
_PATIENCE_SECONDS = 1.0  # a first look that is under way is finished, or a steady drag would never show anything
_SPARE_SECONDS = 10.0  # for a look that is no longer wanted to end by itself, at the next solid


def edited(loaded: Loaded, *, project: Project | None = None, part: Part | None = None) -> Loaded:
    """A loaded project with another wish or another part; materials, shop and imported solids stay.

    Raises
    ------
    CannotBuild
        The part's dimensions contradict each other.
    """
    new = loaded.project if project is None else project
    new = new if part is None else replace(new, part=part)
    if loaded.drawn is not None and new.mould.pull != loaded.project.mould.pull:
        new, library = standing(new, loaded.drawn, loaded.materials)
        return replace(loaded, project=new, shape=shape_of(pattern_part(new), library), library=library)
    pattern = pattern_part(new)
    same = pattern == pattern_part(loaded.project)
    shape = loaded.shape if same else shape_of(pattern, loaded.library)
    return replace(loaded, project=new, shape=shape)


class Preview:
    """A worker that follows the edits of one person.

    Parameters
    ----------
    deliver : called, from a thread of the preview's (it must not raise), with one look after another: of a request
        first the mould, then its pieces, then, after a rest, the proof. Requests that a newer one overtakes are
        left out, or left after the first look; nothing is delivered after a look at a newer request.
    rest_seconds : s without a new request after which the mould is proven.

    Examples
    --------
    >>> with Preview(print) as preview:  # doctest: +SKIP
    ...     preview.ask(loaded)
    ...     preview.ask(edited(loaded, part=thicker))
    """

    def __init__(self, deliver: Callable[[Look], None], *, rest_seconds: float = 0.4) -> None:
        self._deliver = deliver
        self._rest_seconds = rest_seconds
        # Held while a look is handed over, so that none is underway once `ask` or `close` has returned.
        self._lock = threading.RLock()
        self._news = threading.Condition(self._lock)
        self._number = 0
        self._dropped = 0  # the last request that is wanted no longer, nor any before
        self._wanted: Loaded | None = None
        self._closed = False
        self._worker: Worker | None = None
        self._known: set[str] = set()
        self._thread = threading.Thread(target=self._follow, name="preview", daemon=True)
        self._thread.start()

    def __enter__(self) -> Preview:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def ask(self, loaded: Loaded) -> int:
        """Want a look at this project and no longer at any before; the number of the request."""
        with self._news:
            self._number += 1
            self._wanted = loaded
            self._news.notify_all()
            return self._number

    def stop(self) -> None:
        """Want nothing any more until the next `ask`; what was made stays known."""
        with self._news:
            self._drop()

    def close(self) -> None:
        """End the worker; nothing is delivered afterwards."""
        with self._news:
            self._closed = True
            self._drop()
        if threading.current_thread() is not self._thread:
            self._thread.join()

    def _drop(self) -> None:
        self._number += 1
        self._dropped = self._number
        self._wanted = None
        self._news.notify_all()

    # ------------------------------------------------------------ in the preview's own thread

    def _follow(self) -> None:
        try:
            self._begin(_WARM_JOB).result()
            done = 0
            while (request := self._next(done)) is not None:
                done, loaded = request
                self._answer(done, loaded)
        finally:
            if self._worker is not None:
                self._worker.close()

    def _next(self, done: int) -> tuple[int, Loaded] | None:
        """Wait for a request after the last that was taken up; None when the preview is closed."""
        with self._news:
            while not self._closed:
                if self._wanted is not None and self._number > done:
                    return self._number, self._wanted
                self._news.wait()
        return None

    def _answer(self, number: int, loaded: Loaded) -> None:
        """The stages of one request, as far as nothing newer comes."""
        for stage in STAGES:
            if stage == "proof" and self._is_old_after(number, self._rest_seconds):
                return
            try:
                look = self._look(number, loaded, stage)
            except Cancelled:
                return
            except PourwrightError as error:
                look = Look(number=number, stage=stage, error=error)
            with self._lock:
                if self._dropped >= number:
                    return
                self._deliver(look)
                if look.error is not None or number != self._number:
                    return

    def _is_old_after(self, number: int, seconds: float) -> bool:
        with self._news:
            return self._news.wait_for(lambda: number != self._number, timeout=seconds)

    def _look(self, number: int, loaded: Loaded, stage: Stage) -> Look:
        digests = set(loaded.twins)
        sent = replace(loaded, library={}, twins={} if digests <= self._known else dict(loaded.twins))
        worker = self._begin(_LOOK_JOB, loaded=sent, number=number, stage=stage)
        look: Look = worker.result(self._watch(number, patient=stage == STAGES[0]), spare_seconds=_SPARE_SECONDS)
        self._known = digests
        return look

    def _begin(self, job: str, **keywords: object) -> Worker:
        """Start a job, in a new process when the last one has died."""
        if self._worker is not None and not self._worker.alive:
            self._worker.close()
            self._worker = None
        if self._worker is None:
            self._worker, self._known = Worker(), set()
        self._worker.start(job, **keywords)
        return self._worker

    def _watch(self, number: int, *, patient: bool) -> Report:
        """A report that stops what is no longer wanted."""
        begun = time.monotonic()

        def report(fraction: float, words: str) -> None:
            newest = number == self._number
            if self._dropped >= number or not (newest or (patient and time.monotonic() - begun < _PATIENCE_SECONDS)):
                raise Cancelled("there is a newer request")

        return report
