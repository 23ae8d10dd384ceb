"""Prove that the pieces of a mould go together, and come apart along straight lines in the order of the sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from pourwright.basics.progress import Report, silent
from pourwright.catalogue.moulds.assembly import Direction, Member, Stage, may_stretch, stages
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.domain.assembly import AssemblyProof, Meeting, Removal
from pourwright.domain.check_result import CheckResult
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.protocol import Mesh
from pourwright.engines.geometry.measure import to_m, to_m2, to_m3

VERSION = 1
_COLUMNS = 192
_COARSE = 40
_OVERLAP = 1e-9  # of the smaller piece: nothing
_SHARE_OF_FIT = 0.99  # facets of round holes stand a little closer than the circles they stand for
_LEAST_FIT_MM = 0.1
_CLOSE_MM, _FAR_MM = 2.0, 6.0  # pairs with more play than this do not meet
_TOUCH_MM = 0.02  # faces that lie on each other may seem to overlap by this, where both are facetted


@dataclass(frozen=True)
class _Body:
    """A member with its triangles where it stands, and their box."""

    member: Member
    mesh: Mesh
    low: np.ndarray
    high: np.ndarray
    rigid: Mesh


def prove_assembly(design: MouldDesign, evaluator: Evaluator, *, report: Report = silent) -> AssemblyProof:
    """Every stage of a mould: no two printed pieces overlap or bind, and each leaves along a straight line.

    Parameters
    ----------
    design : the mould, described.
    evaluator : a mesh kernel, best the one that proved the mould, for it remembers the solids.

    Returns
    -------
    AssemblyProof
        With whatever stands in the way named.

    Notes
    -----
    Silicone lets go of what it moulded (patterns, cast) by stretching: that pair is judged by undercut and
    stretch, not here. Everything else counts as rigid, the keys of the halves and the formers in the lid too.
    """
    planned = stages(design)
    removals: list[Removal] = []
    meetings: list[Meeting] = []
    for index, stage in enumerate(planned):
        report(index / max(1, len(planned)), f"taking the mould apart: {stage.name}")
        bodies = [_body(member, evaluator) for member in stage.members]
        removals += _removals(stage, bodies, report)
        meetings += _meetings(stage, bodies, evaluator)
    report(1.0, "assembly proof done")
    standing = tuple((stage.name, tuple(dict.fromkeys(one.name for one in stage.members))) for stage in planned)
    return AssemblyProof(stages=standing, removals=tuple(removals), meetings=tuple(meetings))


def assembly_checks(proof: AssemblyProof) -> tuple[CheckResult, ...]:
    """One check for the removals and one for the fits, with what blocks named."""
    blocked = [one for one in proof.removals if not one.ok]
    tight = [one for one in proof.meetings if not one.ok]
    return (
        CheckResult(
            name="assembly",
            ok=not blocked,
            value=len(blocked),
            limit=0,
            unit="pieces that do not come free",
            advice="; ".join(dict.fromkeys(_blocked_words(one) for one in blocked)),
        ),
        CheckResult(
            name="fits between prints",
            ok=not tight,
            value=len(tight),
            limit=0,
            unit="pairs that bind",
            advice="; ".join(dict.fromkeys(_tight_words(one) for one in tight)),
        ),
    )


def _blocked_words(one: Removal) -> str:
    where = " × ".join(f"{1e3 * x:.1f}" for x in one.blocked_at or ())
    return (
        f"{one.piece} cannot leave after {one.stage}: {', '.join(one.blocked_by)} stands in its way (near {where} mm)"
    )


def _tight_words(one: Meeting) -> str:
    if one.overlap > 0:
        return f"{one.one} and {one.other} overlap by {one.overlap * 1e9:.2g} mm³ in {one.stage}"
    play, least = 1e3 * (one.play or 0.0), 1e3 * one.least_play
    return f"{one.one} and {one.other} have {play:.2f} mm of play in {one.stage}; {least:.2f} mm is the printer's least"


# ---------------------------------------------------------------- taking apart


def _removals(stage: Stage, bodies: list[_Body], report: Report) -> Iterator[Removal]:
    left = list(bodies)
    for name in stage.leaving:
        for leaver in [body for body in left if body.member.name == name]:
            report(-1.0, f"{stage.name}: taking away the {leaver.member.called}")
            left.remove(leaver)
            yield _leave(stage, leaver, left)


def _leave(stage: Stage, leaver: _Body, left: list[_Body]) -> Removal:
    from pourwright.engines.geometry.pulls.removal import columns_of, obstacle

    way = leaver.member.leaves
    ahead = [body for body in left if _ahead(leaver, body, way)]
    stiff = [body for body in ahead if not may_stretch(leaver.member, body.member)]
    yields = tuple(dict.fromkeys(body.member.name for body in ahead if may_stretch(leaver.member, body.member)))
    columns = columns_of(leaver.rigid, way, columns=_COLUMNS) if stiff else None
    met = [(body, obstacle(columns, body.mesh, open_mm=_TOUCH_MM)) for body in stiff] if columns is not None else []
    blocking = [(body, found) for body, found in met if not found.free]
    first = blocking[0][1].at_mm if blocking else None
    return Removal(
        stage=stage.name,
        piece=leaver.member.called,
        along=way,
        blocked_by=tuple(dict.fromkeys(body.member.name for body, _ in blocking)),
        blocked_area=to_m2(sum(found.area_mm2 for _, found in blocking)),
        blocked_at=None if first is None else (to_m(first[0]), to_m(first[1]), to_m(first[2])),
        yields=yields,
    )


def _ahead(leaver: _Body, body: _Body, way: Direction) -> bool:
    """Whether a body's box reaches into what the leaver's box sweeps."""
    along = np.asarray(way)
    low = np.where(along < 0, -np.inf, leaver.low)
    high = np.where(along > 0, np.inf, leaver.high)
    return bool(np.all(body.low < high) and np.all(body.high > low))


# ---------------------------------------------------------------- going together


def _meetings(stage: Stage, bodies: list[_Body], evaluator: Evaluator) -> Iterator[Meeting]:
    printed = [body for body in bodies if body.member.printed or body.member.role in ("core rod", "vent rod")]
    seen: set[tuple[object, ...]] = set()
    for one, other in combinations(printed, 2):
        if one.member.name == other.member.name and one.member.role == "pattern":
            continue  # cells stand apart by I5
        if not _near(one, other):
            continue
        alike = _alike(one, other)
        if alike not in seen:
            seen.add(alike)
            meeting = _meet(stage, one, other, evaluator)
            if meeting is not None:
                yield meeting


def _near(one: _Body, other: _Body) -> bool:
    apart = np.maximum(one.low - other.high, other.low - one.high)
    return bool(np.all(apart < _CLOSE_MM))


def _alike(one: _Body, other: _Body) -> tuple[object, ...]:
    """The same pair in another cell need not be looked at again."""
    x0, y0, z0, t0 = one.member.place_mm
    x1, y1, z1, t1 = other.member.place_mm
    apart = (round(x1 - x0, 6), round(y1 - y0, 6), round(z1 - z0, 6), t0, t1)
    turned = () if t0 == t1 == 0.0 else (x0, y0, x1, y1)
    return (one.member.solid.key, other.member.solid.key, apart, turned)


def _meet(stage: Stage, one: _Body, other: _Body, evaluator: Evaluator) -> Meeting | None:
    """How a pair fits; None when the two only stand in the same mould, too far apart to meet."""
    shared = evaluator.volume(one.member.node & other.member.node)
    least = min(evaluator.volume(one.member.solid), evaluator.volume(other.member.solid))
    overlap = shared if shared > _OVERLAP * least else 0.0
    play = None if _rests(one.member, other.member) else _play(one, other)
    if overlap == 0.0 and play is None:
        return None
    return Meeting(
        stage=stage.name,
        one=one.member.called,
        other=other.member.called,
        overlap=to_m3(overlap),
        play=None if play is None else to_m(play),
        least_play=to_m(_SHARE_OF_FIT * _LEAST_FIT_MM),
    )


def _rests(one: Member, other: Member) -> bool:
    """Whether one lies on a slanted face of the other, where the two touch by design."""
    return one.name in other.rests_on or other.name in one.rests_on


def _play(one: _Body, other: _Body) -> float | None:
    """The play across the way that the pair slides; None where the two are never close across it."""
    from pourwright.engines.geometry.pulls.removal import play_mm

    way = _slide(one.member, other.member)
    across = [axis for axis in _AXES if abs(float(np.dot(axis, way))) < 0.9]
    # A coarse look first: most pairs are far apart.
    close = [axis for axis in across if play_mm(one.mesh, other.mesh, axis, columns=_COARSE) < _FAR_MM]
    found = min((play_mm(one.mesh, other.mesh, axis, columns=_COLUMNS) for axis in close), default=np.inf)
    return found if found < _CLOSE_MM else None


_AXES: tuple[Direction, ...] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def _slide(one: Member, other: Member) -> Direction:
    """The way along which the pair comes apart: that of a wall when both are walls, else up."""
    return one.leaves if one.role == other.role == "wall" else (0.0, 0.0, 1.0)


def _body(member: Member, evaluator: Evaluator) -> _Body:
    mesh = evaluator.mesh(member.node)
    rigid = (
        mesh
        if member.rigid is None
        else evaluator.mesh(member.rigid.at(*member.place_mm[:3], turn_deg=member.place_mm[3]))
    )
    return _Body(member, mesh, mesh[0].min(axis=0), mesh[0].max(axis=0), rigid)
