"""Compile the number kernels once, at set-up, so that no first answer waits for them."""

from __future__ import annotations

from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.tree import cylinder


def warm() -> None:
    """Run every compiled kernel on a small solid; the compiled code stays on disk."""
    from pourwright.engines.geometry.air_paths import trapped
    from pourwright.engines.geometry.mesh_lips import mesh_lips
    from pourwright.engines.geometry.pull import pull_report

    part = cylinder(radius_mm=5.0, z0_mm=-6.0, z1_mm=4.0) - cylinder(radius_mm=2.0, z0_mm=-9.0, z1_mm=9.0)
    vertices, triangles = Evaluator(MeshKernel()).mesh(part)
    pull_report(vertices, triangles, columns=16, slices=8)
    trapped(vertices, triangles, vents=[(3.5, 0.0, 4.0)], columns=16)
    mesh_lips(vertices, triangles, 0.0)


if __name__ == "__main__":
    warm()
