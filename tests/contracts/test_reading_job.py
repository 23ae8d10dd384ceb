"""A STEP file on which the exact kernel breaks down is a bad input, not the end of the program."""

from __future__ import annotations

import multiprocessing
import os
import signal

import pytest

from loose_meshes import block
from pourwright.app import reading_job
from pourwright.app.reading_job import read_part_file
from pourwright.basics.errors import Cancelled, CannotRead
from pourwright.engines.geometry.files.write import stl_bytes


@pytest.fixture
def step_file(tmp_path):
    from pourwright.engines.geometry.files.write_step import step_bytes
    from pourwright.engines.geometry.kernels.brep import BrepKernel

    path = tmp_path / "block.step"
    path.write_bytes(step_bytes([("block", BrepKernel().box(0, 0, 0, 1, 2, 3))]))
    return path


def test_a_step_file_read_in_its_own_process_gives_the_solid(step_file):
    reading = read_part_file(step_file, name="block.step")
    assert reading.volume_mm3 == pytest.approx(6.0, rel=1e-12)
    assert reading.solid.step == step_file.read_bytes()


def test_a_refusal_in_the_other_process_arrives_with_its_file_and_advice(step_file):
    step_file.write_bytes(step_file.read_bytes()[:-100])
    with pytest.raises(CannotRead) as caught:
        read_part_file(step_file, name="block.step")
    assert "cut off" in caught.value.message
    assert caught.value.file == "block.step"


@pytest.mark.skipif(os.name != "posix", reason="signals")
def test_a_process_that_dies_while_reading_is_a_file_that_cannot_be_read(step_file):
    def kill_the_reader(fraction: float, words: str) -> None:
        if fraction >= 0.0:  # it has begun to read
            for child in multiprocessing.active_children():
                os.kill(child.pid, signal.SIGSEGV)

    with pytest.raises(CannotRead, match="broke down on this file") as caught:
        read_part_file(step_file, name="block.step", report=kill_the_reader)
    assert caught.value.exit_code == 2


def test_a_reader_that_never_answers_is_ended(step_file, monkeypatch):
    monkeypatch.setattr(reading_job, "_PATIENCE_SECONDS", 0.0)
    with pytest.raises(CannotRead, match="no answer"):
        read_part_file(step_file, name="block.step")


def test_reading_in_another_process_can_be_stopped(step_file):
    def stop(fraction: float, words: str) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        read_part_file(step_file, name="block.step", report=stop)


def test_a_mesh_is_read_without_another_process(tmp_path, monkeypatch):
    path = tmp_path / "block.stl"
    path.write_bytes(stl_bytes(block()))
    monkeypatch.setattr("pourwright.app.jobs.Worker.__init__", lambda self: pytest.fail("a process was started"))
    assert read_part_file(path, name="block.stl").volume_mm3 == 1000.0
