"""Workers: progress comes out, errors keep their words, a stop ends the work, a crash is told."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Iterator

import pytest

from pourwright.app.jobs import Worker
from pourwright.basics.errors import Cancelled, CannotBuild, KernelFault


@pytest.fixture
def worker() -> Iterator[Worker]:
    with Worker() as one:
        yield one


def test_a_job_gives_its_result_and_its_progress(worker: Worker) -> None:
    said: list[tuple[float, str]] = []
    worker.start("job_samples:double", value=21.0)
    assert worker.result(lambda fraction, words: said.append((fraction, words))) == 42.0
    assert (0.5, "halfway") in said


def test_one_worker_does_one_job_after_another(worker: Worker) -> None:
    pids = []
    for _ in range(2):
        worker.start("job_samples:tell_process")
        pids.append(worker.result())
    assert pids[0] == pids[1] != os.getpid()


def test_an_input_error_crosses_the_border_whole(worker: Worker) -> None:
    worker.start("job_samples:refuse")
    with pytest.raises(CannotBuild) as caught:
        worker.result()
    assert caught.value.advice == "make it smaller"
    assert caught.value.field == "part.bore"


def test_any_other_error_becomes_a_fault_with_its_name(worker: Worker) -> None:
    worker.start("job_samples:stumble")
    with pytest.raises(KernelFault, match="ZeroDivisionError: oops"):
        worker.result()


def test_a_process_that_dies_is_told_with_its_code(worker: Worker) -> None:
    worker.start("job_samples:die")
    with pytest.raises(KernelFault, match="code 7"):
        worker.result()


def test_a_stop_ends_even_a_job_that_does_not_listen(worker: Worker) -> None:
    def stop(fraction: float, words: str) -> None:
        raise Cancelled("stopped")

    worker.start("job_samples:tell_process")
    pid = worker.result()
    worker.start("job_samples:dawdle")
    with pytest.raises(Cancelled):
        worker.result(stop)
    assert not _lives(pid)


_ORPHAN = """
import sys
sys.path.insert(0, {tests!r})
from pourwright.app.jobs import Worker
if __name__ == "__main__":
    worker = Worker()
    worker.start("job_samples:tell_process")
    print(worker.result(), flush=True)
    worker.start("job_samples:dawdle")
    sys.stdin.read()
"""


@pytest.mark.skipif(os.name == "nt", reason="processes are told apart by their number in /proc")
def test_a_worker_does_not_outlive_a_parent_that_was_killed(tmp_path: object) -> None:
    script = os.path.join(str(tmp_path), "parent.py")
    with open(script, "w", encoding="utf-8") as file:
        file.write(_ORPHAN.format(tests=os.path.dirname(os.path.dirname(os.path.abspath(__file__)))))
    parent = subprocess.Popen([sys.executable, script], stdout=subprocess.PIPE, stdin=subprocess.PIPE, text=True)
    assert parent.stdout is not None
    pid = int(parent.stdout.readline())
    assert _lives(pid)
    parent.kill()
    parent.wait()
    for _ in range(100):
        if not _lives(pid):
            break
        time.sleep(0.05)
    assert not _lives(pid)


def _lives(pid: int) -> bool:
    try:
        with open(f"/proc/{pid}/stat", encoding="utf-8") as file:
            return file.read().split(")")[1].split()[0] != "Z"
    except OSError:
        return False
