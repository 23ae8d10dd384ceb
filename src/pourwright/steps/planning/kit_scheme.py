"""What the kit would make of a solid that was inspected: one rule says by which scheme, or why no kit would."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pourwright.basics.errors import CannotBuild, DoesNotFit
from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.prints.pocket import POCKET as IN_A_POCKET
from pourwright.catalogue.moulds.stand.facts import SolidFacts
from pourwright.catalogue.moulds.style import STYLES, Choice, choose_style
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.inspection import Inspection, Verdict
from pourwright.domain.part import Part
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.steps.mould_verdict import LIDDED, NOT_FLAT, OPEN, POCKET
from pourwright.steps.planning.refusals import other_styles
from pourwright.steps.studies.opening import blocked_in
from pourwright.steps.studies.study_cell import pulled_study
from pourwright.steps.studies.study_solid import study_solid
from pourwright.steps.studies.turn_solid import turn_solid
from pourwright.steps.words.pull_words import pull_typed

_SEGMENTS = 48
_ROOMY_MM = 2000.0  # no bed is known: whether it fits the person's own is the kit's to say
_SAME_WAY = 0.999  # cosine, from which on two pulls are the same


@dataclass(frozen=True, kw_only=True)
class _Stood:
    """The solid as the kit would stand it."""

    shape: PartShape
    facts: SolidFacts | None
    evaluator: Evaluator
    wish: StyleWish


def with_kit_scheme(found: Inspection, solid: ImportedSolid, *, report: Report = silent) -> Inspection:
    """The same facts, with the scheme that the kit makes in the verdict, or why no kit can be made.

    Parameters
    ----------
    found : from `inspect_solid`; a solid that no two-part mould lets go is left as it is.
    solid : as read.
    """
    if not found.verdict.opens:
        return found
    stood = _stood(found, solid, span(report, 0.0, 0.8))
    choice = choose_style(stood.shape, stood.wish, solid=stood.facts)
    try:
        design = STYLES[choice.style].build(stood.shape, stood.wish, stood.facts)
    except CannotBuild as fault:
        return replace(found, verdict=_no_kit(found.verdict, stood, choice, fault))
    except DoesNotFit as fault:
        return replace(found, verdict=_with(found.verdict, choice.style, str(fault)))
    report(0.8, "looking whether the kit's mould lets it go")
    study, volume = pulled_study(design, stood.evaluator), design.figures["part_volume_mm3"]
    blocked = blocked_in(study, volume_mm3=volume, allowed=found.stretch_allowed)
    verdict = _made(found, choice, design, stood)
    if blocked:
        held = f"the kit's own mould ({verdict.scheme}) would not let it go: {blocked[0]}"
        verdict = replace(found.verdict, kit=False, reasons=(held, *found.verdict.reasons))
    return replace(found, verdict=verdict)


def _stood(found: Inspection, solid: ImportedSolid, report: Report) -> _Stood:
    from pourwright.engines.geometry.kernels.mesh import MeshKernel
    from pourwright.engines.geometry.repeats.closed_twin import with_twins

    [twin] = with_twins({solid.digest: solid}).values()
    allowed = found.stretch_allowed
    x, y, z = found.verdict.direction
    up = (-x, -y, -z) if (round(z, 9), round(y, 9), round(x, 9)) < (0.0, 0.0, 0.0) else (x, y, z)
    turned = turn_solid(twin, up, allowed_stretch=allowed)
    library = {turned.digest: turned}
    evaluator = Evaluator(MeshKernel(segments=_SEGMENTS, library=library))
    shape = shape_of(Part(family="file", file=found.file, digest=turned.digest), library)
    facts = study_solid(shape, evaluator, allowed_stretch=allowed, report=report)
    wish = StyleWish(stretch_allowed=allowed, bed_mm=(_ROOMY_MM, _ROOMY_MM, _ROOMY_MM))
    return _Stood(shape=shape, facts=facts, evaluator=evaluator, wish=wish)


def _made(found: Inspection, choice: Choice, design: MouldDesign, stood: _Stood) -> Verdict:
    scheme = _scheme(choice.style, design, stood)
    verdict = _with(found.verdict, scheme, f"the kit is made so: {choice.reason}")
    if abs(sum(a * b for a, b in zip(verdict.direction, found.pull.direction, strict=True))) >= _SAME_WAY:
        return verdict
    write = f"write pull = {pull_typed(verdict.direction)} under [mould]: of itself the kit takes the best flat pull"
    return replace(verdict, advice=(*verdict.advice, write))


def _scheme(style: str, design: MouldDesign, stood: _Stood) -> str:
    """The kit's style, with how it parts and how its pattern stands where the style has a choice."""
    if style != LIDDED:
        return style
    if not design.ground.level and stood.facts is not None:
        shaped = stood.facts.parting(None)
        return NOT_FLAT if shaped is None else f"{LIDDED}, {shaped.kind} parting"
    return POCKET if design.pattern_scheme == IN_A_POCKET else LIDDED


def _with(verdict: Verdict, scheme: str, why: str) -> Verdict:
    if scheme == verdict.scheme:
        return verdict
    # The last reason speaks for the scheme that is not taken.
    kept = verdict.reasons[:-1] if verdict.scheme in (OPEN, LIDDED, POCKET) else verdict.reasons
    return replace(verdict, scheme=scheme, reasons=(*kept, why))


def _no_kit(verdict: Verdict, stood: _Stood, choice: Choice, fault: CannotBuild) -> Verdict:
    may, may_not = other_styles(choice, stood.shape, stood.wish, stood.facts)
    why = f"silicone would let it go, and yet the kit has no mould for it ({choice.style}): {fault.message}"
    return replace(
        verdict,
        kit=False,
        scheme=choice.style,
        reasons=(why, *may_not),
        advice=(fault.advice, *may),
    )
