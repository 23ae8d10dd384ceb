"""The release map in words: which faces, how large, and why."""

from __future__ import annotations

from pourwright.domain.kit import Kit

_THIN = "\u00a0"


def release_rows(kit: Kit) -> tuple[tuple[str, str], ...]:
    """Each face with its area, and all of them together."""
    rows = [(name, _square_centimetres(area)) for name, area in kit.release_groups.items() if area > 0]
    return (*rows, ("all of it", _square_centimetres(kit.release_area))) if kit.release_area > 0 else ()


def release_words(kit: Kit) -> str:
    """What to do with them."""
    if kit.release_area <= 0:
        return "Nothing to release: in this mould no silicone is poured on silicone."
    return (
        "Release both coats on every face in this table before the second silicone pour. Silicone sticks to silicone "
        "wherever it is bare, and a mould that has grown together is lost."
    )


def _square_centimetres(area: float) -> str:
    return f"{1e4 * area:.1f}{_THIN}cm²"
