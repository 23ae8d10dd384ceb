"""Making ready and pouring silicone: from the first print to the mould opened and looked at."""

from __future__ import annotations

from pourwright.catalogue.sheets.bench_data import SheetPour, SheetStep
from pourwright.catalogue.sheets.bench_facts import BenchFacts
from pourwright.catalogue.sheets.breather_steps import open_breathers
from pourwright.catalogue.sheets.core_steps import spindle_steps
from pourwright.catalogue.sheets.hollow_steps import fill_hollows, keep_hollows_empty
from pourwright.catalogue.sheets.pocket_steps import fasten_patterns, set_up_for_the_lid
from pourwright.catalogue.sheets.shared_steps import TURN_OVER, release_the_half, told, turned_over, weigh
from pourwright.catalogue.sheets.slant_steps import lie_on_a_slant


def make_ready(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Print, sand, seal, test a patch, screw down, set the walls."""
    size = f" ({facts.pattern_size})" if facts.pattern_size else ""
    patterns = "the pattern" if facts.cavities == 1 else f"all {facts.cavities} patterns"
    return (
        SheetStep(
            words=f"Print one pattern, finish it as the next step says, and measure it{size}. If it is off, correct "
            "the printer or the project first; only then print the rest as the print card says.",
            readings=("width, mm", "height, mm", "bore, mm"),
        ),
        SheetStep(
            words="Sand the faces that meet silicone (220, 400, then 800 grit) and seal them with thin coats. The "
            "silicone copies everything. Leave sealing rims, lap faces and screw holes as printed. Let the last coat "
            "flash off for at least 30 minutes.",
            cautions=("sanding dust", "print resin"),
        ),
        *_join(facts),
        SheetStep(words=_patch_words(facts), readings=("contact face dry and shiny?",)),
        *open_breathers(facts.breathers),
        *keep_hollows_empty(facts),
        fasten_patterns(facts, patterns),
        *lie_on_a_slant(facts),
        *spindle_steps(facts.hard_core),
        SheetStep(
            words="Set the walls round the base, tape or grease the seams, put bands round both ends. Stand the "
            "base on the levelling board and level it both ways.",
            ticks=("level", "seams closed"),
        ),
    )


def _join(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Slide together and seal what did not fit the bed in one piece."""
    if not facts.joined:
        return ()
    words = (
        f"Join what came off the printer in parts: {facts.joined}. Lay the parts on a flat plate, the face that meets "
        "silicone down, put a thin film of slow epoxy on the joints and slide the dovetails into each other straight "
        "down, until all lies flush; weigh them down until it is hard. Wipe off what comes out, rub the seam on the "
        "silicone’s side with wax or sanding sealer. Uncured glue can keep silicone from curing: let it cure fully, "
        "and make the patch test on the seam too."
    )
    if facts.joined_walls:
        words += (
            " Along each joint of a wall runs a 2 mm hole, open at both ends: tape its lower end, fill it with "
            "silicone from a syringe and let it set. It is the cord that keeps the joint tight."
        )
    return (SheetStep(words=words, ticks=("flush", "sealed"), cautions=("epoxy glue",)),)


def _patch_words(facts: BenchFacts) -> str:
    words = (
        "Patch test: put a coin of this silicone on a hidden face or a sister print with the same coat, wait the full "
        "demould time, lift it. Go on only if the face that touched is dry and shiny."
    )
    if facts.platinum:
        words += (
            " Platinum silicone is poisoned by sulfur clay, natural rubber and latex gloves, tin silicone, many "
            "paints and glues, and print resin that is not fully cured: keep them all away."
        )
    return words


# ---------------------------------------------------------------- silicone


def silicone(facts: BenchFacts, pour: SheetPour, line: str) -> tuple[SheetStep, ...]:
    """Weigh, mix, pour and cure one pour of silicone."""
    steps = [
        weigh(pour),
        SheetStep(
            words="Mix slowly, scrape sides and bottom, tip it into a second clean cup and mix again. With a vacuum "
            "pump: vessel three to five times the volume, hold one to three minutes after the foam has fallen.",
            cautions=("vacuum",),
            readings=("vacuum, mbar absolute", "minutes"),
        ),
    ]
    number = facts.silicone_pours.index(pour) + 1
    steps += fill_hollows(facts, number)
    if number in facts.ledges:
        steps.append(SheetStep(words=facts.ledges[number], ticks=("print coat on every ledge",)))
    if number in facts.bores:
        steps.append(SheetStep(words=facts.bores[number], ticks=("all bores full",)))
    elif facts.core == "silicone" and not facts.bores:
        steps.append(
            SheetStep(
                words="Fill bores first, by syringe: needle at the bottom, drawing back as it rises. Silicone poured "
                "over a bore traps air in it.",
                ticks=("all bores full",),
            )
        )
    steps.append(
        SheetStep(
            words=f"Pour a pencil-thin stream into the lowest corner and let it rise over everything to {line}. Be "
            f"done {pour.allowed} after A and B touched.",
            readings=("poured by, time",),
        )
    )
    steps.append(_cure_silicone(facts))
    return tuple(steps)


def _cure_silicone(facts: BenchFacts) -> SheetStep:
    wait = f" Leave it for {facts.silicone_demould}." if facts.silicone_demould else ""
    if facts.pressure:
        return SheetStep(
            words=f"Into the pot, level, at {facts.pressure}, the pressure of the cast or more: bubbles left in the "
            f"silicone would show as bumps on the part. Raise the pressure slowly.{wait}",
            cautions=("pressure vessel", "vent to zero"),
            readings=("in, time", "pressure", "out, time"),
        )
    return SheetStep(
        words=f"Let it cure, level and covered against dust.{wait}", readings=("poured, time", "out, time")
    )


def turn_and_release(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Turn the half over, base off, upper pieces on, release."""
    return (
        turned_over("The patterns stay where they are: do not ease them."),
        set_up_for_the_lid(facts),
        release_the_half(),
    )


# ---------------------------------------------------------------- open and look


def open_the_open(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Turn the open mould over, base off, patterns out."""
    return (
        SheetStep(
            words=told(
                TURN_OVER,
                facts.apart.get("pour 1", ""),
                "Take out the screws, lift the base by its jack screws, half a turn each in their round, then "
                "pull the patterns: let air in along the edge, then draw. The silicone stays in its walls for the "
                "cast.",
            ),
        ),
    )


def open_the_lidded(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Bar, rods and lid off, patterns out last."""
    return (
        SheetStep(
            words=told(
                facts.apart.get("pour 2", ""),
                "Lift the bridge bar with its formers in one lift, then draw the rods with pliers. Ease the lid off "
                "all round, and take the patterns out last. Peel nothing by force: a place that holds was not "
                "released. Set the walls round the lower half again for the cast.",
            ),
        ),
    )


def look(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Look at the mould and let it rest."""
    if facts.platinum:
        rest = "Platinum: one to four hours at 60 to 80 °C drive off what is volatile and settle its size."
    else:
        rest = "Tin: let it rest for some days, for the alcohol in it makes urethane tacky; no heat above 70 °C."
    return (
        SheetStep(
            words="Look at the cavity under light from the side: bubbles, tacky spots, tears. Give the mould a number "
            "and weigh it; its mass tells of wear later.",
            readings=("mould number", "mould, g", "cavity width, mm"),
        ),
        SheetStep(words=rest, cautions=("oven",), readings=("h at °C",)),
    )
