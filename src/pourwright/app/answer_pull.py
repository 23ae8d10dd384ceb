"""The figures of one way to pull a part, as every answer that tells of a pull gives them."""

from __future__ import annotations

from pourwright.domain.inspection import PullChoice

_MM, _MM3 = 1e3, 1e9


def pull_figures(way: PullChoice) -> dict[str, object]:
    """Where it parts, what stands behind the part in each half, and what the silicone must stretch."""
    return {
        "parting_height_mm": way.parting_height * _MM,
        "undercut_lower_mm3": way.undercut_lower * _MM3,
        "undercut_upper_mm3": way.undercut_upper * _MM3,
        "runs_through_mm3": way.runs_through * _MM3,
        "stretch_lower": way.stretch_lower,
        "stretch_upper": way.stretch_upper,
    }
