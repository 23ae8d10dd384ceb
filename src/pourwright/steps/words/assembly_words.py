"""How a mould comes apart, in words: for the bench sheet and under the moving picture."""

from __future__ import annotations

from pourwright.domain.assembly import AssemblyProof

_OVERFLOW = "overflow"


def way_words(along: tuple[float, float, float], name: str = "") -> str:
    """Which way a piece leaves.

    Examples
    --------
    >>> way_words((0.0, 0.0, 1.0)), way_words((-0.7, -0.7, 0.0))
    ('straight up', 'out along its corner')
    """
    x, y, z = along
    if name == _OVERFLOW:
        return "peels off, torn at the vents"
    if abs(z) > 0.9:
        return "straight up" if z > 0 else "straight down"
    return "out along its corner" if abs(x) > 0.3 and abs(y) > 0.3 else "straight out sideways"


def apart_words(proof: AssemblyProof | None, stage: str) -> str:
    """The order in which everything leaves after a stage; empty where nothing is known.

    Examples
    --------
    >>> from pourwright.domain.assembly import Removal
    >>> up = (0.0, 0.0, 1.0)
    >>> removals = tuple(Removal(stage="pour 2", piece=name, along=up) for name in ("bridge bar", "lid"))
    >>> apart_words(AssemblyProof(stages=(), removals=removals, meetings=()), "pour 2")
    'Take it apart in this order, each along a straight line: bridge bar (straight up), lid (straight up).'
    """
    found: dict[str, str] = {}
    for one in () if proof is None else proof.removals:
        if one.stage == stage:
            name = one.piece.rstrip("0123456789").rstrip()
            found.setdefault(name, way_words(one.along, name))
    if not found:
        return ""
    listed = ", ".join(f"{name} ({way})" for name, way in found.items())
    return f"Take it apart in this order, each along a straight line: {listed}."


def apart_by_stage(proof: AssemblyProof | None) -> dict[str, str]:
    """The words of `apart_words` for every stage of a mould."""
    return {} if proof is None else {stage: apart_words(proof, stage) for stage, _ in proof.stages}
