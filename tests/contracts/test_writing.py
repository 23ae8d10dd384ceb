"""What is written is there whole or not at all, and what was there before stays until then."""

from __future__ import annotations

import errno
import os
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from pourwright.basics.errors import Cancelled, CannotWrite
from pourwright.store import writing
from pourwright.store.writing import write_file, write_files

FILES = {"base.stl": b"base", "step/kit.step": b"kit", "sheet.pdf": b"%PDF"}


def contents(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture
def out(tmp_path) -> Path:
    """A folder that was written before."""
    folder = tmp_path / "project" / "out"
    write_files(folder, {"old.stl": b"old"})
    return folder


def assert_as_before(out: Path) -> None:
    assert contents(out) == {"old.stl": b"old"}
    assert [path.name for path in out.parent.iterdir()] == ["out"]  # nothing is left lying beside it


def failing(call, at: int, error: BaseException):
    """The call, which raises instead the `at`-th time."""
    count = 0

    def wrapped(*args, **how):
        nonlocal count
        count += 1
        if count == at:
            raise error
        return call(*args, **how)

    return wrapped


def test_a_folder_that_was_not_there_is_made_with_all_files(tmp_path):
    write_files(tmp_path / "a" / "b" / "out", FILES)
    assert contents(tmp_path / "a" / "b" / "out") == FILES


def test_the_new_files_replace_all_old_ones(out):
    write_files(out, FILES)
    assert contents(out) == FILES
    assert [path.name for path in out.parent.iterdir()] == ["out"]


def test_the_mode_of_the_old_folder_stays(out):
    out.chmod(0o750)
    write_files(out, FILES)
    assert stat.S_IMODE(out.stat().st_mode) == 0o750


def test_a_folder_that_is_a_link_stays_a_link(tmp_path, out):
    link = tmp_path / "linked"
    link.symlink_to(out, target_is_directory=True)
    write_files(link, FILES)
    assert link.is_symlink()
    assert contents(out) == FILES


@pytest.mark.parametrize("at", [1, 2, 3])
@pytest.mark.parametrize("error", [Cancelled("stopped"), KeyboardInterrupt()], ids=["stopped", "Ctrl-C"])
def test_stopped_before_any_file_the_old_folder_stays_as_it_was(out, at, error):
    with pytest.raises(type(error)):
        write_files(out, FILES, report=failing(lambda fraction, words: None, at, error))
    assert_as_before(out)


@pytest.mark.parametrize("at", [1, 2, 3, 4, 5])
def test_a_full_disk_leaves_the_old_folder_as_it_was_and_says_so(out, at, monkeypatch):
    full = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
    monkeypatch.setattr(writing.os, "fsync", failing(os.fsync, at, full))
    with pytest.raises(CannotWrite, match="No space left") as caught:
        write_files(out, FILES)
    assert "make room" in caught.value.advice
    monkeypatch.undo()
    assert_as_before(out)


@pytest.mark.parametrize("error", [OSError(errno.EACCES, "Permission denied"), KeyboardInterrupt()])
@pytest.mark.parametrize("at", [1, 2])
def test_when_a_rename_fails_the_old_folder_goes_back_to_its_place(out, at, error, monkeypatch):
    monkeypatch.setattr(writing.os, "rename", failing(os.rename, at, error))
    with pytest.raises((CannotWrite, KeyboardInterrupt)):
        write_files(out, FILES)
    monkeypatch.undo()
    assert_as_before(out)


def test_an_old_folder_left_by_a_power_cut_between_the_renames_is_found_again(out):
    out.rename(out.with_name(".out.old-0badcafe"))
    with pytest.raises(Cancelled):
        write_files(out, FILES, report=failing(lambda fraction, words: None, 1, Cancelled("stopped")))
    assert_as_before(out)


@pytest.mark.skipif(os.name != "posix", reason="signals")
def test_a_process_that_is_interrupted_while_writing_leaves_the_old_folder(out):
    code = (
        "import os, signal, sys; from pathlib import Path; from pourwright.store.writing import write_files\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # also where whoever runs the tests ignores it
        "def report(fraction, words):\n"
        "    if fraction > 0.5: os.kill(os.getpid(), signal.SIGINT)\n"
        "write_files(Path(sys.argv[1]), {f'{n}.stl': bytes(1000) for n in range(50)}, report=report)"
    )
    done = subprocess.run([sys.executable, "-c", code, str(out)], capture_output=True, check=False)
    assert done.returncode == -signal.SIGINT
    assert_as_before(out)


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may write anywhere")
def test_a_read_only_folder_is_refused_by_the_system_itself(out):
    out.parent.chmod(0o500)
    try:
        with pytest.raises(CannotWrite, match="cannot be written"):
            write_files(out, FILES)
    finally:
        out.parent.chmod(0o700)
    assert_as_before(out)


@pytest.mark.parametrize("code", [errno.EACCES, errno.EROFS, errno.EPERM])
def test_a_folder_that_refuses_is_told_with_what_to_try(out, code, monkeypatch):
    monkeypatch.setattr(Path, "mkdir", failing(Path.mkdir, 2, OSError(code, os.strerror(code))))
    with pytest.raises(CannotWrite) as caught:
        write_files(out, FILES)
    assert caught.value.exit_code == 2
    assert "copy the shop folder" in caught.value.advice
    assert str(out) in caught.value.message
    monkeypatch.undo()
    assert_as_before(out)


def test_a_file_where_the_folder_should_be_is_left_alone(tmp_path):
    path = tmp_path / "out"
    path.write_bytes(b"mine")
    with pytest.raises(CannotWrite, match="is a file"):
        write_files(path, FILES)
    assert path.read_bytes() == b"mine"


@pytest.mark.parametrize("name", ["../x", "/x", "a/../../x", "..\\x", "C:\\x", "", "."])
def test_a_name_that_leads_out_of_the_folder_is_refused_before_anything_is_written(out, name):
    with pytest.raises(CannotWrite):
        write_files(out, {"good.stl": b"x", name: b"x"})
    assert_as_before(out)


# ---------------------------------------------------------------- one file


def test_one_file_is_replaced_and_keeps_its_mode(tmp_path):
    path = tmp_path / "project.toml"
    write_file(path, b"one")
    path.chmod(0o640)
    write_file(path, b"two")
    assert path.read_bytes() == b"two"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_one_file_that_is_a_link_is_written_through(tmp_path):
    (tmp_path / "real.toml").write_bytes(b"one")
    (tmp_path / "link.toml").symlink_to(tmp_path / "real.toml")
    write_file(tmp_path / "link.toml", b"two")
    assert (tmp_path / "link.toml").is_symlink()
    assert (tmp_path / "real.toml").read_bytes() == b"two"


@pytest.mark.parametrize("error", [OSError(errno.ENOSPC, "No space left on device"), KeyboardInterrupt()])
def test_one_file_stays_as_it_was_when_the_disk_is_full_or_the_person_stops(tmp_path, error, monkeypatch):
    path = tmp_path / "project.toml"
    path.write_bytes(b"one")
    monkeypatch.setattr(writing.os, "fsync", failing(os.fsync, 1, error))
    with pytest.raises((CannotWrite, KeyboardInterrupt)):
        write_file(path, b"two")
    assert path.read_bytes() == b"one"
    assert [item.name for item in tmp_path.iterdir()] == ["project.toml"]


def test_a_folder_where_the_file_should_be_is_left_alone(tmp_path):
    with pytest.raises(CannotWrite, match="is a folder"):
        write_file(tmp_path, b"x")
