"""Stopped, out of room, or refused by the disk: what was there stays byte for byte, and nothing is left behind."""

from __future__ import annotations

import contextlib
import errno
import multiprocessing
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from pourwright.cli import frame
from pourwright.store import writing
from shop_runs import COMMAND, STOP, ShopFolder, shop, snapshot, write

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="signals of another kind")


@pytest.fixture
def old(tmp_path) -> ShopFolder:
    """A shop with an out/ of an earlier day."""
    made = shop(tmp_path / "shop", STOP)
    write(made.out / "print" / "kit.3mf", b"of an earlier day")
    return made


def nothing_left_of(made: ShopFolder) -> None:
    assert sorted(path.name for path in made.out.parent.iterdir()) == ["out", "project.toml"]
    assert multiprocessing.active_children() == []


# ---------------------------------------------------------------- Ctrl-C


@POSIX
@pytest.mark.parametrize("at", [0.05, 0.2, 0.4, 0.56, 0.93, 0.98])
def test_ctrl_c_at_any_stage_stops_cleanly(at: float, old: ShopFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    seen = []

    def report(self: object, fraction: float, words: str) -> None:
        if fraction >= at and not seen:
            seen.append(words)
            signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr(frame._Lines, "report", report)
    before = snapshot(old.root)
    told = old.run("make", "part")
    assert seen
    assert told.code == 3
    assert "stopped" in told.error["message"]
    assert snapshot(old.root) == before
    nothing_left_of(old)


@POSIX
def test_ctrl_c_that_is_lost_in_clean_up_code_still_stops_the_work(
    old: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    def report(self: object, fraction: float, words: str) -> None:
        with contextlib.suppress(KeyboardInterrupt):  # as an interrupt in a finaliser is
            signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr(frame._Lines, "report", report)
    before = snapshot(old.root)
    assert old.run("make", "part").code == 3
    assert snapshot(old.root) == before


@POSIX
@pytest.mark.parametrize("file", [0, 2])
def test_ctrl_c_between_two_files_leaves_the_old_folder(file: int, old: ShopFolder, monkeypatch) -> None:
    plain, count = writing._write, iter(range(1000))

    def interrupted(path: Path, content: bytes) -> None:
        if next(count) == file:
            signal.raise_signal(signal.SIGINT)
        plain(path, content)

    monkeypatch.setattr(writing, "_write", interrupted)
    before = snapshot(old.root)
    assert old.run("kit", "part", "--no-step").code == 3
    assert snapshot(old.root) == before
    nothing_left_of(old)


@POSIX
@pytest.mark.parametrize(("number", "whole_group"), [(signal.SIGINT, True), (signal.SIGTERM, False)])
def test_a_process_told_to_stop_takes_its_worker_along(number: int, whole_group: bool, old: ShopFolder) -> None:
    before = snapshot(old.root)
    # A terminal sends Ctrl-C to the whole group; a service manager tells the parent alone.
    process = subprocess.Popen(
        [*COMMAND, "make", "part", "--shop", str(old.root)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True,
    )  # fmt: skip
    for line in process.stderr:
        if line.startswith((" 2", " 3", " 4", " 5")):  # the worker has long been started
            break
    (os.killpg if whole_group else os.kill)(process.pid, number)
    out, err = process.communicate(timeout=60)
    assert (process.returncode, out) == (3, "")
    assert err.splitlines()[-1].startswith("stopped")
    assert "Traceback" not in err
    assert snapshot(old.root) == before
    assert not alive_in_group(process.pid)


def alive_in_group(group: int) -> list[str]:
    """Processes of a group that still run; those that are dead and not yet fetched do not count."""
    listed = subprocess.run(["ps", "-eo", "pgid=,stat=,args="], capture_output=True, text=True, check=True).stdout
    rows = [line.split(None, 2) for line in listed.splitlines()]
    return [" ".join(row) for row in rows if row[0] == str(group) and not row[1].startswith("Z")]


# ---------------------------------------------------------------- the disk


@pytest.mark.parametrize("file", [0, 3])
def test_a_full_disk_is_told_and_leaves_everything_as_it_was(file: int, old: ShopFolder, monkeypatch) -> None:
    plain, count = writing._write, iter(range(1000))

    def full(path: Path, content: bytes) -> None:
        if next(count) == file:
            path.write_bytes(content[:10])
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(path))
        plain(path, content)

    monkeypatch.setattr(writing, "_write", full)
    before = snapshot(old.root)
    told = old.run("kit", "part", "--no-step")
    assert told.code == 2
    assert "make room" in told.error["advice"]
    assert snapshot(old.root) == before
    nothing_left_of(old)


@contextlib.contextmanager
def disk(place: Path, size: str) -> Iterator[None]:
    """A small disk of its own, where the system allows it."""
    place.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(place)], check=False).returncode:
        pytest.skip("no disk can be mounted here")
    try:
        yield
    finally:
        subprocess.run(["umount", "-l", str(place)], check=True)


ROOT = pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root mounts disks")


@ROOT
def test_a_disk_that_is_really_full_is_told(tmp_path) -> None:
    with disk(tmp_path / "small", "200k"):
        made = shop(tmp_path / "small" / "shop", STOP)
        before = snapshot(made.root)
        told = made.run("kit", "part", "--no-step")
        assert told.code == 2
        assert "make room" in told.error["advice"]
        assert snapshot(made.root) == before


@ROOT
def test_a_disk_that_can_only_be_read_is_told(tmp_path) -> None:
    with disk(tmp_path / "fixed", "50m"):
        made = shop(tmp_path / "fixed" / "shop", STOP)
        subprocess.run(["mount", "-o", "remount,ro", str(tmp_path / "fixed")], check=True)
        before = snapshot(made.root)
        told = made.run("kit", "part", "--no-step")
        assert told.code == 2
        assert "can only be read" in told.error["advice"]
        assert snapshot(made.root) == before


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_can_only_be_read_is_told(tmp_path) -> None:
    made = shop(tmp_path / "shop", STOP)
    before = snapshot(made.root)
    made.project.parent.chmod(0o555)
    try:
        told = made.run("kit", "part", "--no-step")
    finally:
        made.project.parent.chmod(0o755)
    assert told.code == 2
    assert "refuses" in told.error["advice"]
    assert snapshot(made.root) == before


def test_a_file_where_out_should_be_is_left_alone(tmp_path) -> None:
    made = shop(tmp_path / "shop", STOP)
    write(made.out, "mine")
    before = snapshot(made.root)
    told = made.run("kit", "part", "--no-step")
    assert told.code == 2
    assert "is a file" in told.error["message"]
    assert snapshot(made.root) == before


# ---------------------------------------------------------------- what fails is marked, and what is wrong not written


def test_a_mould_whose_identity_fails_gets_no_print_files(old: ShopFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    from dataclasses import replace

    from pourwright.catalogue.moulds import style
    from pourwright.engines.geometry.tree import cylinder

    plain = style.STYLES[style.OPEN]

    def tampered(*asked: object):
        design = plain.build(*asked)
        # A pin that stands in the cavity, as if a hole had been drawn too wide.
        return replace(design, lower=design.lower | cylinder(radius_mm=1.0, z0_mm=-9.0, z1_mm=-3.0).at(6.0, 0.0))

    styles = {
        name: replace(plain, build=tampered) if name == style.OPEN else style.STYLES[name] for name in style.STYLES
    }
    monkeypatch.setattr("pourwright.steps.planning.plan_mould.STYLES", styles)
    told = old.run("make", "part")
    assert told.code == 1
    failed = [check["name"] for check in told.answer["kit"]["checks"] if not check["ok"]]
    assert any(name.startswith("mould fit check, I") for name in failed)
    names = set(told.answer["files"])
    assert not [name for name in names if name.startswith("print/") or name.endswith((".step", ".stl", ".3mf"))]
    assert not list(old.out.rglob("*.3mf"))
    assert "NOT-PROVEN.txt" in names
    assert not any(body["files"] for body in told.answer["kit"]["bodies"])
