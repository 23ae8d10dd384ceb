"""From a part to a mould kit: the style, its solids, the mould fit check and every standing check."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.checks.check import judge_all
from pourwright.catalogue.kit_facts import KitFacts, PieceFacts, SiliconeFacts
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.catalogue.moulds.stand.facts import SolidFacts
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.check_result import CheckResult
from pourwright.domain.kit import Body, Identity, Kit, Proof
from pourwright.domain.material import Material
from pourwright.domain.part import Project
from pourwright.domain.shop import Shop
from pourwright.domain.silicone_pour import BoreToFill
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.measure import to_m, to_m3
from pourwright.engines.geometry.probes.true_size import size_mm
from pourwright.steps.planning.kit_box import box_of
from pourwright.steps.planning.place_vents import study_air
from pourwright.steps.planning.plan_mould import MouldPlan, plan_mould, with_lean_advice, with_needed_vents
from pourwright.steps.planning.split_pieces import with_parts
from pourwright.steps.proofs.fit_bounds import CAVITY, PART, RELEASE, RESIN
from pourwright.steps.proofs.prove import prove
from pourwright.steps.studies.core_study import core_study
from pourwright.steps.studies.float_study import float_study, lower_displaced_mm3
from pourwright.steps.studies.kit_air import air_answer, lean_notes
from pourwright.steps.studies.opening import opening_of
from pourwright.steps.studies.study_cell import CellStudy, study_cell
from pourwright.steps.studies.study_pours import PourStudy, bores_to_fill, outline_holes
from pourwright.steps.words.parting_words import parting_of
from pourwright.steps.words.pull_words import pull_notes, pull_of, pull_reason

VERSION = 13
_SHOWN = {"m3": (1e9, "mm³"), "m2": (1e6, "mm²"), "bodies": (1.0, "bodies too many")}
_FACE_DOWN = {"": "lower face down, as it stands", "x 180": "upper face down"}


@dataclass(frozen=True, kw_only=True)
class KitDraft:
    """A kit proven in the mesh kernel, with the description that other kernels and files are made from."""

    kit: Kit
    design: MouldDesign


def make_kit(
    project: Project,
    shape: PartShape,
    shop: Shop,
    *,
    resin: Material,
    silicone: Material,
    evaluator: Evaluator,
    solid: SolidFacts | None = None,
    search_vents: bool = True,
    settled: Callable[[MouldDesign], None] | None = None,
    report: Report = silent,
) -> KitDraft:
    """The kit for a project, proven in the mesh kernel.

    Parameters
    ----------
    project : the wish.
    shape : its part.
    shop : printer, pot and room.
    resin, silicone : material records.
    evaluator : a mesh kernel with corrected radii, so that volumes of bodies of revolution are exact.
    solid : what was found out about an imported solid.
    search_vents : whether vents are searched for by the way the air takes; False, for a quick look, leaves them to
        the rule of the style and looks at air in the level mould only. The kit says which it was.
    settled : told of the mould as soon as nothing of it changes any more, before it is proven.

    Raises
    ------
    DoesNotFit
        Too large for the printer's bed or the pot.
    CannotBuild
        No mould of the asked kind can be drawn for this part.
    """
    report(0.0, "choosing the mould style")
    plan = plan_mould(project, shape, shop, resin=resin, silicone=silicone, solid=solid)
    if search_vents:
        plan = with_needed_vents(plan, evaluator, report=span(report, 0.05, 0.2))
        plan = with_lean_advice(plan, evaluator, report=span(report, 0.2, 0.25))
    else:
        level = study_air(plan.design, evaluator, share=plan.wish.trapped_share, tilts_deg=(0.0,))
        plan = replace(plan, air=level)
    if settled is not None:
        settled(plan.design)
    from pourwright.steps.planning.offers import with_offers
    from pourwright.steps.planning.ways_out import with_ways_out

    draft = proven_kit(plan, evaluator, report=span(report, 0.25, 0.9))
    draft = with_ways_out(draft, plan, evaluator, report=span(report, 0.9, 0.95))
    return with_offers(draft, plan, evaluator, report=span(report, 0.95, 1.0))


def proven_kit(plan: MouldPlan, evaluator: Evaluator, *, report: Report = silent) -> KitDraft:
    """The kit of a planned mould with its mould fit check and every standing check."""
    plan = replace(plan, design=with_parts(plan.design, evaluator, bed_mm=plan.wish.piece_bed_mm))
    design = plan.design
    proof = prove(design, evaluator, report=span(report, 0.0, 0.7))
    study = study_cell(design, evaluator, air=plan.air, report=span(report, 0.7, 0.95))
    sizes = {piece.name: size_mm(evaluator, piece.solid) for piece in design.made}
    cores = core_study(design, evaluator, resin_density=plan.resin_density)
    facts = kit_facts(
        plan,
        study,
        sizes,
        release_mm2=proof.areas.get(RELEASE, 0.0) * 1e6,
        measured={
            "pattern_displaced_mm3": lower_displaced_mm3(design, evaluator),
            "level_within_deg": 0.0 if study.air is None else study.air.level_within_deg,
            **cores,
        },
    )
    densities = {"silicone_density": facts.silicone.density, "resin_density": plan.resin_density}
    facts = replace(facts, floats=float_study(design, evaluator, measured=cores, **densities))
    checks = (*fit_checks(proof.identities), *judge_all(facts))
    kit = replace(_kit(plan, study, proof, checks, evaluator, sizes), floats=facts.floats)
    report(1.0, "kit ready")
    return KitDraft(kit=kit, design=design)


def with_exact_proof(draft: KitDraft, proof: Proof | None, why: str) -> Kit:
    """The kit with what the exact kernel said: its volumes when it agrees, a caution when it was refused.

    Parameters
    ----------
    draft : the kit from the mesh kernel.
    proof : of the exact kernel; None when it never came to one.
    why : in words, why exact files are refused; empty when they are not.
    """
    kit = draft.kit
    if proof is not None and not why:
        volumes = {name: volume for name, volume in proof.volumes.items() if name in kit.proofs[0].volumes}
        resin = {CAVITY: volumes[RESIN]} if RESIN in volumes else {}
        by_piece = {**volumes, **resin}
        bodies = tuple(replace(b, volume=by_piece.get(_piece_key(b), b.volume)) for b in kit.bodies)
        checks = (*fit_checks(proof.identities, where="exact kernel"), *kit.checks)
        exact = _volumes({**kit.proofs[0].volumes, **volumes})
        return replace(kit, kernel=proof.kernel, bodies=bodies, checks=checks, proofs=(*kit.proofs, proof), **exact)
    refused = CheckResult(
        name="exact files",
        ok=False,
        severity="caution",
        advice=f"no STEP files for this kit: {why}; the print files come from the mesh kernel, which proved the mould",
    )
    return replace(kit, checks=(*kit.checks, refused))


def fit_checks(identities: Sequence[Identity], where: str = "mesh kernel") -> tuple[CheckResult, ...]:
    """The mould fit check as one check when all is well, else one check for each identity that fails."""
    failed = [identity for identity in identities if not identity.ok]
    if not failed:
        words = f"{len(identities)} identities hold in the {where}"
        return (CheckResult(name="mould fit check", ok=True, severity="note", advice=words),)
    return tuple(
        CheckResult(
            name=f"mould fit check, {identity.name}",
            ok=False,
            value=identity.value * _SHOWN[identity.unit][0],
            limit=identity.bound * _SHOWN[identity.unit][0],
            unit=_SHOWN[identity.unit][1],
            advice="this mould would not leave the part; nothing is written for it. Change a dimension, or the style",
        )
        for identity in failed
    )


def kit_facts(
    plan: MouldPlan,
    study: CellStudy,
    sizes: Mapping[str, tuple[float, float, float]],
    *,
    release_mm2: float,
    measured: Mapping[str, float],
) -> KitFacts:
    """What the standing checks look at.

    Parameters
    ----------
    plan : the mould.
    study : of one cavity; what it leaves open, no check speaks of.
    sizes : mm, of each printed piece.
    release_mm2 : silicone on silicone.
    measured : more figures: silicone that one pattern pushes away in the first pour, what hard cores are.
    """
    design, silicone, wish = plan.design, plan.silicone, plan.wish
    bed = dict(zip(("bed_x_mm", "bed_y_mm", "bed_z_mm"), wish.bed_mm, strict=True))
    return KitFacts(
        style=design.style,
        cavities=design.cavities,
        closing_is_silicone=design.closing_is_silicone,
        pieces=tuple(_piece_facts(piece, sizes[piece.name]) for piece in design.made if piece.printed),
        silicone=SiliconeFacts(
            name=silicone.name,
            density=silicone.best("density"),
            viscosity=silicone.best("mixed_viscosity"),
            pot_life=silicone.best("pot_life"),
            elongation=silicone.best("elongation"),
        ),
        pressure=plan.project.mould.pressure or 0.0,
        infill=design.figures.get("infill", 1.0),
        figures={**design.figures, **measured, **bed},
        lips=study.lips,
        stretch=study.stretch,
        stretch_allowed=wish.stretch_allowed,
        undercut_mm3=study.undercut_mm3,
        held=study.held,
        trapped_mm3=_times(study.trapped_mm3, design.cavities),
        worst_trapped_mm3=_times(study.worst_trapped_mm3, design.cavities),
        pour_air=() if study.pours is None else study.pours.air,
        pours_looked_at=study.pours is not None,
        bores=_bores(plan, study),
        release_mm2=release_mm2,
        sizes=plan.sizes,
    )


def _bores(plan: MouldPlan, study: CellStudy) -> tuple[BoreToFill, ...]:
    """The bores that silicone has to fill; where no pour was looked at closely, those that an outline tells."""
    pours = study.pours or PourStudy(holes=tuple(outline_holes(plan.design)))
    return bores_to_fill(pours, plan.silicone, plan.design.cavities)


def _times(value: float | None, count: int) -> float | None:
    return None if value is None else value * count


def _piece_facts(piece: Piece, size_mm: tuple[float, float, float]) -> PieceFacts:
    return PieceFacts(
        name=piece.name,
        role=piece.role,
        count=len(piece.places_mm),
        size_mm=size_mm,
        held_by=piece.held_by,
        breather=piece.breather,
        solid_print=piece.solid_print,
        touches_silicone=piece.touches_silicone,
    )


def _kit(
    plan: MouldPlan,
    study: CellStudy,
    proof: Proof,
    checks: tuple[CheckResult, ...],
    evaluator: Evaluator,
    sizes: Mapping[str, tuple[float, float, float]],
) -> Kit:
    design, choice = plan.design, plan.choice
    lip = min((lip.at(1.0) for lip in study.lips), default=None)
    groups = {
        name.removeprefix(f"{RELEASE}: "): a for name, a in proof.areas.items() if name.startswith(f"{RELEASE}: ")
    }
    return Kit(
        project=plan.project.name,
        style=design.style,
        style_reason=choice.reason,
        cavities=design.cavities,
        kernel=proof.kernel,
        scale=design.scale,
        box_inside=_metres(design.box_inside_mm),
        box_outside=_metres(design.box_outside_mm),
        bodies=_bodies(design, proof, evaluator, sizes),
        stretch={**study.stretch, "allowed": plan.wish.stretch_allowed},
        undercut_volume=None if study.undercut_mm3 is None else to_m3(study.undercut_mm3 * design.cavities),
        thinnest_lip=None if lip is None else to_m(lip),
        release_area=proof.areas.get(RELEASE, 0.0),
        release_groups=groups,
        air=air_answer(design, study.air, plan.advice),
        checks=checks,
        proofs=(proof,),
        layout=tuple((to_m(x), to_m(y)) for x, y in design.centres_mm),
        **box_of(design, proof, plan.wish),
        core_squeeze=to_m(design.figures.get("core_squeeze_mm", 0.0)),
        notes=(*pull_notes(plan), *design.notes, *lean_notes(design, plan.advice), *_joined_notes(design)),
        joined={piece.name: len(piece.parts) for piece in design.pieces if piece.parts},
        opening=opening_of(plan, study, evaluator),
        pull=pull_of(plan),
        pull_reason=pull_reason(plan),
        parting=parting_of(plan),
        other_styles={name: tuple(reasons) for name, reasons in choice.against.items()},
        sizes=plan.sizes,
        pour_air=() if study.pours is None else study.pours.air,
        bores=_bores(plan, study),
        **_volumes(proof.volumes),
    )


def _joined_notes(design: MouldDesign) -> tuple[str, ...]:
    found = [f"{piece.name} in {len(piece.parts)}" for piece in design.pieces if piece.parts]
    if not found:
        return ()
    return (f"too long for the bed in one piece, printed in parts that dovetails join: {', '.join(found)}",)


def _volumes(volumes: Mapping[str, float]) -> dict[str, Any]:
    return {
        "part_volume": volumes[PART],
        "cavity_volume": volumes.get(RESIN, volumes[CAVITY]),
        "vents_volume": volumes.get("vents", 0.0),
        "wells_volume": volumes.get("wells", 0.0),
        "silicone_lower_volume": volumes["silicone lower"],
        "silicone_lid_volume": volumes["silicone lid"],
    }


def _bodies(
    design: MouldDesign, proof: Proof, evaluator: Evaluator, sizes: Mapping[str, tuple[float, float, float]]
) -> tuple[Body, ...]:
    pieces = [
        Body(
            name=piece.name,
            role=piece.role,
            count=len(piece.places_mm),
            shape_key=piece.solid.key,
            volume=to_m3(evaluator.volume(piece.solid)),
            size=_metres(sizes[piece.name]),
            printed=piece.printed,
            watertight=evaluator.is_closed(piece.solid),
            print_note=piece.print_note,
            print_turn=_FACE_DOWN[piece.print_turn],
            held_by=piece.held_by,
            bodies=piece.bodies,
        )
        for piece in design.made
    ]
    mould = [("lower half", "lower half", design.lower), ("cavity", "cavity", design.resin)]
    if design.closing_is_silicone:
        mould.insert(1, ("lid", "lid", design.closing))
    for name, role, node in mould:
        pieces.append(
            Body(
                name=name,
                role=role,  # type: ignore[arg-type]
                count=1,
                shape_key=node.key,
                volume=to_m3(evaluator.volume(node)),
                size=_metres(size_mm(evaluator, node)),
                printed=False,
                watertight=evaluator.is_closed(node),
                bodies=evaluator.bodies(node),
            )
        )
    return tuple(pieces)


def _piece_key(body: Body) -> str:
    mould = {"lower half": "lower half", "lid": "closing piece", "cavity": CAVITY}
    return mould.get(body.name, f"piece {body.name}")


def _metres(lengths_mm: Sequence[float]) -> tuple[float, float, float]:
    x, y, z = (to_m(length) for length in lengths_mm)
    return x, y, z
