"""What to know before an existing part is copied: what stops silicone from curing on it, and whose the shape may be."""

from __future__ import annotations

from pourwright.domain.material import Kind
from pourwright.domain.old_part import Original

RIGHTS = (
    "A part that somebody else designed may be theirs: its shape, a mark on it, or a patent behind it. For more than "
    "a part for your own use, ask the owner first, and leave trade marks out. This is no legal advice."
)
# Supplier guidance and reports of practitioners (general articles, forum); the coin test is common practice.
_TEST = (
    "Try a coin of this silicone on a hidden face first, for the full demould time: go on only if the face that "
    "touched is dry and shiny."
)
_STOPS = {
    "urethane": "Amines and tin left in old urethane stop platinum silicone where it touches: it stays wet and pocked, "
    "and a clear coat over the part has helped only in part.",
    "natural rubber": "The sulfur in natural rubber stops platinum silicone: over it, it does not cure at all.",
    "other rubber": "Most black rubber was cured with sulfur, which stops platinum silicone where it touches.",
    "unknown": "Sulfur, tin and amines in an old part stop platinum silicone where it touches; nobody sees them.",
    "plastic": "PVC with tin in it, epoxies and some paints stop platinum silicone where it touches.",
}


def copying_words(original: Original, silicone: Kind) -> tuple[str, ...]:
    """What to say of a project that copies an existing part: about the cure where it matters, then about rights."""
    return (*inhibition_words(original, silicone), RIGHTS)


def inhibition_words(original: Original, silicone: Kind) -> tuple[str, ...]:
    """What may go wrong where this silicone is poured on that part itself; nothing for a hard, clean metal."""
    if original.material == "silicone":
        return ("Silicone grows together with a silicone part: two coats of release, each dry, and a coin test first.",)
    if silicone == "tin silicone":
        return (f"Tin silicone stands sulfur when the part is sealed. {_TEST}",) if _poisonous(original) else ()
    if not _poisonous(original):
        return ()
    return (
        f"{_STOPS[original.material]} Print a new pattern from the readings rather than mould over the old part; if "
        f"you must, seal it with a barrier coat that is none of these, or take tin silicone. {_TEST}",
    )


def _poisonous(original: Original) -> bool:
    return original.material in _STOPS
