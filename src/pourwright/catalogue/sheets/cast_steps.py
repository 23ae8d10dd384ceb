"""The cast: mix the resin, fill, close, cure, take out, measure."""

from __future__ import annotations

from pourwright.catalogue.sheets.bench_data import SheetStep
from pourwright.catalogue.sheets.bench_facts import BenchFacts
from pourwright.catalogue.sheets.core_steps import core_steps
from pourwright.catalogue.sheets.overflow_steps import peel_the_overflow
from pourwright.catalogue.sheets.shared_steps import told, weigh
from pourwright.catalogue.sheets.slant_steps import close_on_a_slant


def before_cast(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Room, materials, rods and cores made ready."""
    rod = "Set the core rods, released, right through. " if facts.core == "rod" else ""
    return (
        SheetStep(
            words="Room at 20 to 25 °C and at most 50 % humidity; materials as warm as the room; mould dry. "
            f"{rod}Lay out cups, stirrers of plastic or metal (no wood, no paper), boards and straps, and "
            + ("try the lid of the pot." if facts.pressure else "try the closing dry."),
            readings=("room, °C", "humidity, %", "mould, °C", "lot A / lot B"),
        ),
        *core_steps(facts.hard_core),
    )


def mix_resin(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Weigh and mix the resin."""
    hurt = ("isocyanates", "curatives") if facts.urethane else ()
    return (
        weigh(facts.cast, *hurt),
        SheetStep(
            words="Pigment, if any, goes into the polyol part before weighing. Mix one to three minutes without "
            "whipping air in, scrape, tip into a second clean cup, mix again.",
            cautions=("exotherm",),
            readings=("mixed, time",),
        ),
    )


def close_with_cover(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Fill and close with the cover plate."""
    return (
        SheetStep(
            words="Pour slowly down one side of each cavity until the resin stands a little proud of the rim. Rock "
            "and tap the mould; prick what rises.",
            readings=("poured by, time",),
        ),
        SheetStep(
            words="Set one edge of the cover plate down, lower it like a hinge and drive air and resin to the far "
            "side. Resin must stand in every vent and well. Straps near both ends, over the boards; none across the "
            f"middle. Closed at the latest {facts.cast.allowed} after A and B touched.",
            readings=("closed, time",),
            ticks=("resin in every well",),
        ),
    )


def close_with_lid(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Fill and close with the lid."""
    if facts.slanted:
        return close_on_a_slant(facts)
    fill = "Pour slowly down one side of each cavity until the lower half is brim-full, and wet the hollows of the lid."
    if facts.lid_fills:
        fill = (
            "Pour slowly down one side of each cavity, but leave room for what hangs from the lid, "
            f"{facts.lid_fills} a cavity: it drives the resin up to the rim. Wet what hangs from the lid with a brush."
        )
    return (
        SheetStep(
            words=f"{fill} Rock and tap the mould; prick what rises.",
            readings=("poured by, time",),
        ),
        SheetStep(
            words="Set one long edge of the lid down, keys to hollows and ticks to ticks (one against one, two against "
            "two, their long ends up: it fits one way only), lower it like a hinge and drive air and resin across. "
            "Resin must rise in every well. Lay the press board on its stops; straps near both ends, none across the "
            "middle. Without the walls, a 2 mm cord lies in the groove along "
            f"the parting. Closed at the latest {facts.cast.allowed} after A and B touched.",
            readings=("closed, time",),
            ticks=("resin in every well", "board on its stops"),
        ),
    )


# ---------------------------------------------------------------- after the cast


def cure_cast(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Cure the cast, in the pot or outside."""
    wait = f" for {facts.resin_demould}" if facts.resin_demould else ""
    keep = "Keep the cup with its leftover: it is tomorrow’s witness of the mix."
    if not facts.pressure:
        return (
            SheetStep(
                words=f"Leave the mould level and closed{wait}. {keep}",
                cautions=("waste",),
                readings=("gel in the cup, time", "hottest cup, °C"),
            ),
        )
    by = f" within {facts.in_pot_by} of A and B touching" if facts.in_pot_by else ""
    return (
        SheetStep(
            words=f"Mould into the pot{by}, level. Close, raise the pressure slowly to {facts.pressure}; the inlet "
            "must not blow on the mould.",
            cautions=("pressure vessel",),
            readings=("in, time", "pressure", "pot, °C"),
        ),
        SheetStep(
            words=f"Hold the pressure{wait}, past gel by a wide margin; bubbles grow again if it drops early. {keep}",
            cautions=("waste",),
            readings=("gel in the cup, time", "hottest cup, °C", "pressure at end"),
        ),
        SheetStep(words="Let the air out and open the pot.", cautions=("vent to zero",), readings=("out, time",)),
    )


def take_out(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Take the parts out, cure them fully, trim them."""
    wait = f"After {facts.resin_demould}: " if facts.resin_demould else ""
    rod = "draw the core rods first, then " if facts.core == "rod" else ""
    if facts.hard_core is not None and facts.hard_core.spindle:
        rod = "draw the spindles first, then "
    cure = f"Full cure: {facts.resin_full_cure}, or as its sheet says. " if facts.resin_full_cure else ""
    what = told(
        f"{wait}{peel_the_overflow(facts)}{rod}open the mould, let air in along the part and push it out. "
        f"{facts.gives_way}Early means torn or tacky.",
        facts.apart.get("cast closed", ""),
    )
    return (
        SheetStep(words=what[0].upper() + what[1:], readings=("out, time", "tears or sticking?")),
        SheetStep(
            words=f"{cure}Support the parts while they are warm. Post-cure only as the resin’s sheet allows.",
            cautions=("oven",),
            readings=("h at °C",),
        ),
        SheetStep(
            words="Trim flash and the stubs of vents and wells with a sharp blade. Sand only what has fully cured.",
            cautions=("sanding dust",),
        ),
    )


def measure() -> tuple[SheetStep, ...]:
    """Measure, note, decide."""
    return (
        SheetStep(
            words="At least 16 hours after the cure and one hour at 23 °C. Hardness: five places at least 6 mm apart, "
            "flat and thick enough (6 mm), the same dwell each time; on a test button where the part is too small. "
            "Write scale and dwell, such as 80A at 3 s.",
        ),
        SheetStep(
            words="Fill in the readings at the end of this sheet, mark parts and mould with project and number, and "
            "note one thing to change next time, only one.",
        ),
        SheetStep(
            words="Decide what the parts may be used for before they leave the bench.", cautions=("load-bearing",)
        ),
    )
