"""What was traced from an old part in words: a project file with its bands in comments, and lines for a person."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pourwright.basics.quantities import show, show_fixed
from pourwright.domain.old_part import OldPart
from pourwright.steps.trace_part import Traced, TracedSize


def project_text(traced: Traced, old: OldPart, *, name: str, resin: str, silicone: str) -> str:
    """The project file that draws the traced part.

    Parameters
    ----------
    traced : the part with its bands.
    old : the readings it comes from.
    name : of the project.
    resin, silicone : materials to begin with.
    """
    title = _quoted(old.title or name.replace("-", " ").replace("_", " ").capitalize())
    lines = [
        "# Traced from caliper readings of an existing part. Behind each size: what 19 in 20 lie within, from the",
        "# spread of the readings (Student’s t) and the calipers’ own error.",
        "",
        f"title = {title}",
        "",
        "[part]",
        f'family = "{traced.part.family}"',
        *_outline(traced),
        *(() if traced.part.outline else (_size_line(size) for size in traced.sizes)),
        "",
        "[original]                      # that this copies an existing part; the bench sheet then says what to mind",
        f'material = "{old.material}"',
        "as_pattern = false              # true: silicone is poured on the old part itself",
        "",
        "[resin]",
        f'material = "{resin}"',
        "",
        "[silicone]",
        f'material = "{silicone}"',
    ]
    return "\n".join((*lines, ""))


def _size_line(size: TracedSize) -> str:
    value = f'{size.name} = "{_mm(size.best)} mm"'
    again = f"; {size.again}" if size.again else ""
    return f"{value:<32}# {band_words(size)}, {_times(size.number)}{again}"


def _outline(traced: Traced) -> Iterator[str]:
    if not traced.part.outline:
        return
    bands = {size.name: size for size in traced.sizes}
    yield "outline = ["
    for number, corner in enumerate(traced.part.outline, start=1):
        size = bands.get(f"outside_{number}_diameter")
        said = f"  # diameter {band_words(size)}, {_times(size.number)}" if size is not None else ""
        again = f"; {size.again}" if size is not None and size.again else ""
        yield f"    {{ {_corner(corner)} }},{said}{again}"
    yield "]"


def _corner(corner: Mapping[str, float]) -> str:
    return ", ".join(f'{key} = "{show(value, "length", "mm", digits=6)}"' for key, value in corner.items())


def traced_words(traced: Traced) -> Iterator[str]:
    """The family, each size with its band, what to measure again, other families."""
    yield f"Drawn as a {traced.part.family}"
    for size in traced.sizes:
        yield f"  {_name(size):<20} {_mm(size.best):>8} mm  ({band_words(size)}, {_times(size.number)})"
    again = [size for size in traced.sizes if size.again]
    for size in again:
        yield f"  ! {_name(size)}: {size.again}"
    for note in traced.notes:
        yield f"  note: {note}"
    fits = [name for name, why in traced.others.items() if not why]
    if fits:
        yield f"The readings would also make a {' or a '.join(fits)}: name it with --family."


def band_words(size: TracedSize) -> str:
    """The band of one size.

    Examples
    --------
    >>> band_words(TracedSize(name="height", best=0.026, low=0.02595, high=0.02605, number=5))
    '± 0.05 mm'
    """
    if size.low is None and size.high is not None:
        return f"at most {_mm(size.high)} mm"
    if size.high is None and size.low is not None:
        return f"at least {_mm(size.low)} mm"
    return f"± {_mm(((size.high or 0.0) - (size.low or 0.0)) / 2)} mm"


def _name(size: TracedSize) -> str:
    return size.name.replace("_", " ")


def _times(number: int) -> str:
    return f"{number} reading" + ("s" if number > 1 else "")


def _mm(length: float) -> str:
    return show_fixed(length, "length", "mm", decimals=2).removesuffix(" mm")


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
