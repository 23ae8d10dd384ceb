"""What would do instead: a metal rod where a silicone bore core is refused, with the kit proven again with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from pourwright.basics.errors import PourwrightError
from pourwright.basics.progress import Report, silent
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.style import STYLES
from pourwright.domain.kit import Kit, Offer, Purchase
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.measure import to_m, to_mm
from pourwright.steps.make_kit import KitDraft, proven_kit
from pourwright.steps.planning.plan_mould import MouldPlan, with_needed_vents

_ANSWERED = ("bore core", "bore neck")
_CHANGE = {"mould.bore_core": "rod"}


def with_offers(draft: KitDraft, plan: MouldPlan, evaluator: Evaluator, *, report: Report = silent) -> KitDraft:
    """The kit with what is offered for a bore core that fails; the check's advice then tells of it.

    Parameters
    ----------
    draft : the kit as asked for.
    plan : what it was made from.
    evaluator : the mesh kernel that proved it.
    """
    failed = [check.name for check in draft.kit.checks if check.failed and check.name in _ANSWERED]
    if not failed or plan.shape is None:
        return draft
    offer = _rod(failed[0], draft.kit, plan, evaluator, report)
    checks = tuple(
        replace(check, advice=f"{check.advice}. {offer.words}") if check.name == failed[0] else check
        for check in draft.kit.checks
    )
    return replace(draft, kit=replace(draft.kit, checks=checks, offers=(offer,)))


def _rod(answers: str, kit: Kit, plan: MouldPlan, evaluator: Evaluator, report: Report) -> Offer:
    """The same kit with a metal rod right through the bore."""
    if plan.shape is None:
        raise PourwrightError("a plan without its shape")
    report(0.0, "proving the kit with a metal rod in the bore")
    wish = replace(plan.wish, bore_core="rod", vents=None, trapped_mm3=0.0)
    try:
        design = STYLES[kit.style].build(plan.shape, wish, plan.solid)
    except PourwrightError as fault:
        return Offer(answers=answers, words=f"A metal rod would not do: {fault}", change={}, ok=False)
    other = with_needed_vents(replace(plan, wish=wish, design=design, air=None), evaluator, report=report)
    made = proven_kit(other, evaluator, report=report).kit
    failed = tuple(dict.fromkeys(check.name for check in made.checks if check.failed))
    density = plan.silicone.best("density")
    grams = [density * (one.silicone_lower_volume + one.silicone_lid_volume) for one in (made, kit)]
    buy = _purchases(made, design.figures)
    return Offer(
        answers=answers,
        words=_words(made, failed, grams, buy),
        change=_CHANGE,
        ok=not failed,
        failed=failed,
        identities=sum(len(proof.identities) for proof in made.proofs),
        silicone=grams[0],
        silicone_now=grams[1],
        buy=buy,
    )


def _purchases(kit: Kit, figures: Mapping[str, float]) -> tuple[Purchase, ...]:
    """The rods; their true diameters, for the mesh kernel's circles are a little wider."""
    rods = [body for body in kit.bodies if body.role == "core rod" and not body.printed]
    return tuple(
        Purchase(
            what="round metal rod",
            diameter=to_m(figures[f"core_rod_{number}_mm"]),
            length=rod.size[2],
            count=rod.count,
        )
        for number, rod in enumerate(rods, start=1)
    )


def _words(kit: Kit, failed: tuple[str, ...], grams: list[float], buy: tuple[Purchase, ...]) -> str:
    rods = ", ".join(
        f"{one.count} × {to_mm(one.diameter):.2f} mm, {to_mm(one.length):.0f} mm long{_stock(one, kit.scale)}"
        for one in buy
    )
    proven = f"the same kit with {rods} of round metal was proven again"
    silicone = f"{1e3 * grams[0]:.0f} g of silicone, {1e3 * grams[1]:.0f} g as asked for"
    if failed:
        return f"Offered: {proven}, and still fails ({', '.join(failed)}); {silicone}"
    return f'Offered: {proven} and passes; {silicone}. Write bore_core = "rod" under [mould]'


def _stock(rod: Purchase, scale: float) -> str:
    """The nearest rod that is sold, and the bore that it would leave."""
    step = sizes.STOCK_STEP_MM
    exact = to_mm(rod.diameter)
    nearest = round(exact / step) * step
    if nearest <= 0 or abs(nearest - exact) < 5e-3:
        return ""
    return f" (stock of {nearest:g} mm gives a bore of about {nearest / scale:.2f} mm)"
