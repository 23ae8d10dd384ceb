"""Say along which way a part leaves its mould, and why it was taken."""

from __future__ import annotations

from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.part import AS_DRAWN
from pourwright.steps.planning.plan_mould import MouldPlan

Way = tuple[float, float, float]

_ALONG = 0.999999  # cosine, from which on a direction is called by its axis


def pull_of(plan: MouldPlan) -> Way:
    """The direction, in the axes of the part's file or drawing, that points up out of the lower half."""
    x, y, z = (0.0, 0.0, 1.0) if plan.shape is None else plan.shape.pull
    over = plan.design.figures.get("turned_over", 0.0) > 0
    return (-x + 0.0, -y + 0.0, -z + 0.0) if over else (x, y, z)


def pull_reason(plan: MouldPlan) -> str:
    """Why that way was taken."""
    asked = plan.project.mould.pull
    if plan.shape is None or plan.shape.outline is not None:
        return "a body of revolution leaves along its axis"
    if asked == AS_DRAWN:
        return "left as drawn"
    return "asked for" if asked is not None else "of all ways that were tried the silicone lets go most easily along it"


def pull_notes(plan: MouldPlan) -> tuple[str, ...]:
    """A line for a person, for a part from a file."""
    if plan.shape is None or plan.shape.outline is not None:
        return ()
    return (f"the part stands with {direction_words(pull_of(plan))} up ({pull_reason(plan)})", *_size_notes(plan.shape))


def _size_notes(shape: PartShape) -> tuple[str, ...]:
    """Along what its sizes are, where it stands otherwise than in its file."""
    if shape.turning is None or shape.file_size_mm is None:
        return ()
    stands = " × ".join(f"{length:.1f}" for length in shape.size_mm)
    return (
        "size x, size y and size z are along the axes of the file, as calipers find them; as the part stands in the "
        f"mould it measures {stands} mm, the last along the pull",
    )


def pull_typed(way: Way) -> str:
    """A direction as it is written in project.toml.

    Examples
    --------
    >>> pull_typed((0.0, -1.0, 0.0)), pull_typed((0.6, 0.0, 0.8))
    ('"-y"', '[0.6, 0, 0.8]')
    """
    for axis, along in zip("xyz", way, strict=True):
        if abs(along) > _ALONG:
            return f'"{"-" if along < 0 else ""}{axis}"'
    return "[{}]".format(", ".join(f"{round(along, 6) + 0.0:g}" for along in way))


def direction_words(way: Way) -> str:
    """A direction of a file in words.

    Examples
    --------
    >>> direction_words((0.0, -1.0, 0.0)), direction_words((0.6, 0.0, 0.8))
    ('-y of the file', '(0.6000, 0.0000, 0.8000) of the file')
    """
    for axis, along in zip("xyz", way, strict=True):
        if abs(along) > _ALONG:
            return f"{'-' if along < 0 else '+'}{axis} of the file"
    return "({:.4f}, {:.4f}, {:.4f}) of the file".format(*way)
