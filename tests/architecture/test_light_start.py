"""The command line starts light: no heavy package is loaded before a command needs it."""

from __future__ import annotations

import subprocess
import sys

HEAVY = (
    "numpy",
    "scipy",
    "pydantic",
    "manifold3d",
    "OCP",
    "numba",
    "typst",
    "rich",
    "tomlkit",
    "defusedxml",
    "trimesh",
)

_SCRIPT = """
import sys
from pourwright.cli.main import main
code = main(["--help"])
print("|".join(sorted(name for name in {heavy!r} if name in sys.modules)), file=sys.stderr)
sys.exit(code)
"""


def test_help_loads_no_heavy_package() -> None:
    answer = subprocess.run(
        [sys.executable, "-c", _SCRIPT.format(heavy=HEAVY)], capture_output=True, text=True, check=False
    )
    assert answer.returncode == 0
    assert "make" in answer.stdout
    assert answer.stderr.strip() == ""


def test_the_version_is_told_without_the_command_line_library() -> None:
    script = "import sys; from pourwright.cli.main import main; main(['--version']); sys.exit('typer' in sys.modules)"
    answer = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert answer.returncode == 0
    assert answer.stdout.startswith("pourwright ")
