"""The mould coming apart as a moving picture, in the order of the assembly proof."""

from __future__ import annotations

import numpy as np

from pourwright.basics.progress import Report, silent
from pourwright.catalogue.moulds.assembly import CAST, JOINING, POUR_1, POUR_2, Member, Stage, stages
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.domain.assembly import AssemblyProof, Removal
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.paper.drawing import PALETTE, Drawn, Sprite, on_paper, sprite
from pourwright.engines.paper.moving import Actor, Scene, Step, moving_picture
from pourwright.steps.words.assembly_words import way_words

VERSION = 1
_VIEW = "high"
_TOLERANCE_MM = 0.1
_WIDTH = 460  # pixels of the widest piece
_TITLES = {
    POUR_1: "After the first silicone pour",
    POUR_2: "After the second silicone pour",
    CAST: "After the cast has cured",
}
_COLOURS = {**PALETTE, "cast": PALETTE["cavity"], "overflow": PALETTE["cavity"], "screw": PALETTE["vent rod"]}
# From back to front; what stands round everything is drawn last, and see-through.
_DEPTH = ("levelling board", "lower half", "cast", "core rod", "pattern", "lid", "cover plate", "overflow",
          "vent rod", "well former", "bridge", "base", "press board", "screw", "wall")  # fmt: skip
_VEILED = {"wall": 0.45, "lid": 0.3, "base": 0.25, "cover plate": 0.3, "press board": 0.25}


def draw_assembly(design: MouldDesign, proof: AssemblyProof, evaluator: Evaluator, *, report: Report = silent) -> bytes:
    """An SVG in which the pieces leave one after the other; what is blocked shakes and is named in red.

    Parameters
    ----------
    design : the mould.
    proof : of its assembly.
    evaluator : a mesh kernel.
    """
    planned = [stage for stage in stages(design) if stage.leaving and not stage.name.startswith(JOINING)]
    wide = max(design.box_outside_mm)
    scale = _WIDTH / (1.3 * wide)
    sprites: dict[tuple[str, ...], Sprite] = {}
    scenes = []
    for index, stage in enumerate(planned):
        report(index / max(1, len(planned)), f"drawing how it comes apart: {stage.name}")
        scenes.append(_scene(stage, proof, evaluator, scale, sprites, 0.55 * wide))
    report(1.0, "moving picture ready")
    return moving_picture(scenes, title="How the mould comes apart")


def _scene(
    stage: Stage,
    proof: AssemblyProof,
    evaluator: Evaluator,
    scale: float,
    sprites: dict[tuple[str, ...], Sprite],
    far_mm: float,
) -> Scene:
    actors = []
    groups = _groups(stage)
    for name, members in groups.items():
        key = tuple(member.node.key for member in members)
        if key not in sprites:
            sprites[key] = sprite([_drawn(member, evaluator) for member in members], view=_VIEW, pixels_per_mm=scale)
        actors.append((members[0].role, Actor(name=name, sprite=sprites[key], veil=_VEILED.get(members[0].role, 0.0))))
    actors.sort(key=lambda pair: _DEPTH.index(pair[0]) if pair[0] in _DEPTH else len(_DEPTH))
    steps = [_step(name, groups[name], proof, stage, far_mm) for name in _order(stage, groups)]
    return Scene(title=_TITLES.get(stage.name, stage.name), actors=tuple(one for _, one in actors), steps=tuple(steps))


def _groups(stage: Stage) -> dict[str, tuple[Member, ...]]:
    """Copies that leave the same way go together: four rods at once, each wall for itself."""
    found: dict[str, list[Member]] = {}
    for member in stage.members:
        alone = member.role == "wall"
        found.setdefault(member.called if alone else member.name, []).append(member)
    return {name: tuple(members) for name, members in found.items()}


def _order(stage: Stage, groups: dict[str, tuple[Member, ...]]) -> list[str]:
    return [group for name in stage.leaving for group, members in groups.items() if members[0].name == name]


def _step(name: str, members: tuple[Member, ...], proof: AssemblyProof, stage: Stage, far_mm: float) -> Step:
    called = {member.called for member in members}
    removals = [one for one in proof.removals if one.stage == stage.name and one.piece in called]
    blocked = next((one for one in removals if not one.ok), None)
    right, down = on_paper([far_mm * part for part in members[0].leaves], view=_VIEW)
    return Step(actor=name, move_mm=(right, down), words=_words(members, blocked), blocked=blocked is not None)


def _words(members: tuple[Member, ...], blocked: Removal | None) -> str:
    one = members[0]
    what = one.called if one.role == "wall" else one.name
    what = what if len(members) == 1 else f"{len(members)} × {what}"
    if blocked is not None:
        return f"{what[0].upper()}{what[1:]}: blocked by {' and '.join(blocked.blocked_by)}"
    return f"{what[0].upper()}{what[1:]} {way_words(one.leaves, one.name)}"


def _drawn(member: Member, evaluator: Evaluator) -> Drawn:
    vertices, triangles = evaluator.mesh(member.node, _TOLERANCE_MM)
    return Drawn(
        name=member.called,
        vertices=np.asarray(vertices),
        triangles=triangles,
        colour=_COLOURS.get(member.role, PALETTE["base"]),
    )
