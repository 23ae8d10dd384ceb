"""What to do at the bench, step by step, for each mould style: from the first print to the last reading."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from pourwright.basics.shelf import unknown_name
from pourwright.catalogue.sheets.bench_data import SheetPhase, SheetPour, SheetStep
from pourwright.catalogue.sheets.bench_facts import BenchFacts
from pourwright.catalogue.sheets.core_steps import core_steps, spindle_steps
from pourwright.catalogue.sheets.open_mouth_steps import fill_the_mouths
from pourwright.catalogue.sheets.overflow_steps import peel_the_overflow
from pourwright.catalogue.sheets.side_steps import open_the_block, stand_and_fill, turn_and_set_upper_patterns


def phases_for(facts: BenchFacts) -> tuple[SheetPhase, ...]:
    """The phases of a style, in the order of the work.

    Raises
    ------
    UnknownName
        No steps are written for this style.
    """
    if facts.style not in _STYLES:
        raise unknown_name(facts.style, _STYLES, noun="mould style with bench steps")
    return _STYLES[facts.style](facts)


def _open(facts: BenchFacts) -> tuple[SheetPhase, ...]:
    return (
        SheetPhase(title="Make ready", steps=_make_ready(facts)),
        SheetPhase(title="Pour the silicone", steps=_silicone(facts, facts.silicone_pours[0], "the fill line")),
        SheetPhase(title="Open and look", steps=(*_open_the_open(facts), *_look(facts))),
        SheetPhase(title="Cast", steps=(*_before_cast(facts), *_mix_resin(facts), *_close_with_cover(facts))),
        *_after(facts),
    )


def _one_part(facts: BenchFacts) -> tuple[SheetPhase, ...]:
    return (
        SheetPhase(title="Make ready", steps=_make_ready(facts)),
        SheetPhase(title="Pour the silicone", steps=_silicone(facts, facts.silicone_pours[0], "the fill line")),
        SheetPhase(title="Open and look", steps=(*_open_the_open(facts), *_look(facts))),
        SheetPhase(title="Cast", steps=(*_before_cast(facts), *_mix_resin(facts), *fill_the_mouths(facts))),
        *_after(facts),
    )


def _lidded(facts: BenchFacts) -> tuple[SheetPhase, ...]:
    first, second = facts.silicone_pours
    return (
        SheetPhase(title="Make ready", steps=_make_ready(facts)),
        SheetPhase(title="Pour 1: the lower half", steps=_silicone(facts, first, "fill line 1")),
        SheetPhase(title="Turn over and release", steps=_turn_and_release(facts)),
        SheetPhase(title="Pour 2: the lid", steps=_silicone(facts, second, "fill line 2")),
        SheetPhase(title="Open and look", steps=(*_open_the_lidded(facts), *_look(facts))),
        SheetPhase(title="Cast", steps=(*_before_cast(facts), *_mix_resin(facts), *_close_with_lid(facts))),
        *_after(facts),
    )


def _side_parted(facts: BenchFacts) -> tuple[SheetPhase, ...]:
    first, second = facts.silicone_pours
    solid = replace(facts, core="")  # the bore is printed with the patterns: no silicone has to run into it
    return (
        SheetPhase(title="Make ready", steps=_make_ready(facts)),
        SheetPhase(title="Pour 1: the lower half", steps=_silicone(solid, first, "fill line 1")),
        SheetPhase(title="Turn over and release", steps=turn_and_set_upper_patterns(facts)),
        SheetPhase(title="Pour 2: the upper half", steps=_silicone(solid, second, "fill line 2")),
        SheetPhase(title="Open and look", steps=(*open_the_block(facts), *_look(facts))),
        SheetPhase(title="Cast", steps=(*_before_cast(solid), *_mix_resin(facts), *stand_and_fill(facts))),
        *_after(facts),
    )


_STYLES: Mapping[str, Callable[[BenchFacts], tuple[SheetPhase, ...]]] = {
    "one-part open": _one_part,
    "open with cover plate": _open,
    "two-part lidded": _lidded,
    "two-part side-parted": _side_parted,
}


# ---------------------------------------------------------------- before the silicone


def _make_ready(facts: BenchFacts) -> tuple[SheetStep, ...]:
    size = f" ({facts.pattern_size})" if facts.pattern_size else ""
    patterns = "the pattern" if facts.cavities == 1 else f"all {facts.cavities} patterns"
    return (
        SheetStep(
            words=f"Print one pattern and measure it{size}. If it is off, correct the printer or the project first; "
            "only then print the rest as the print card says.",
            readings=("width, mm", "height, mm", "bore, mm"),
        ),
        SheetStep(
            words="Sand the faces that meet silicone (220, 400, then 800 grit) and seal them with thin coats. The "
            "silicone copies everything. Leave sealing rims, lap faces and screw holes as printed. Let the last coat "
            "flash off for at least 30 minutes.",
            cautions=("sanding dust", "print resin"),
        ),
        SheetStep(words=_patch_words(facts), readings=("contact face dry and shiny?",)),
        SheetStep(
            words=f"Screw {patterns} to the base from below until its rim or flat face touches all round. "
            "Tug each one: none may move, or it will float.",
            ticks=("all seated",),
        ),
        *spindle_steps(facts.hard_core),
        SheetStep(
            words="Set the walls round the base, tape or grease the seams, put bands round both ends. Stand the "
            "base on the levelling board and level it both ways.",
            ticks=("level", "seams closed"),
        ),
    )


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


def _silicone(facts: BenchFacts, pour: SheetPour, line: str) -> tuple[SheetStep, ...]:
    steps = [
        _weigh(pour),
        SheetStep(
            words="Mix slowly, scrape sides and bottom, tip it into a second clean cup and mix again. With a vacuum "
            "pump: vessel three to five times the volume, hold one to three minutes after the foam has fallen.",
            cautions=("vacuum",),
            readings=("vacuum, mbar absolute", "minutes"),
        ),
    ]
    if facts.core:
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


def _weigh(pour: SheetPour, *cautions: str) -> SheetStep:
    return SheetStep(
        words=f"Weigh the {pour.name.lower()} as its card says: A until the scale shows {pour.stop_a}, then B into the "
        f"same cup until it shows {pour.stop_ab}. If A came out different, weigh B = A × {pour.b_per_a}. The clock "
        "runs from the moment A and B touch.",
        cautions=cautions,
        readings=("A, g", "A and B, g", "A and B touch, time"),
    )


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


def _turn_and_release(facts: BenchFacts) -> tuple[SheetStep, ...]:
    return (
        SheetStep(
            words="Lay the levelling board on the walls, its boss on the silicone, strap it and turn everything over "
            "onto it. Take out the screws, then lift the base by its jack screws, half a turn each in their round. The "
            "patterns stay where they are: do not ease them.",
            ticks=("patterns untouched",),
        ),
        SheetStep(
            words="Set the upper pattern pieces on (with their dowels, where there are any), the vent rods into their "
            "seats, the bridge bar with its well formers into the notches of the walls; strap or screw the bar down, "
            "for the formers float.",
            ticks=("upper pieces", "rods", "bar held"),
        ),
        SheetStep(
            words="Silicone sticks to silicone, and one bare spot ruins the mould. Brush release over every face of "
            "the release map, two light coats, each brushed out and left to dry. Release both coats before you mix.",
            cautions=("release solvent",),
            readings=("release used", "dry, min"),
            ticks=("first coat", "second coat"),
        ),
    )


# ---------------------------------------------------------------- the open mould


def _open_the_open(facts: BenchFacts) -> tuple[SheetStep, ...]:
    return (
        SheetStep(
            words=_told(
                "Lay the levelling board on the walls, its boss on the silicone, strap it and turn everything over "
                "onto it.",
                facts.apart.get("pour 1", ""),
                "Take out the screws, lift the base by its jack screws, half a turn each in their round, then "
                "pull the patterns: let air in along the edge, then draw. The silicone stays in its walls for the "
                "cast.",
            ),
        ),
    )


def _open_the_lidded(facts: BenchFacts) -> tuple[SheetStep, ...]:
    return (
        SheetStep(
            words=_told(
                facts.apart.get("pour 2", ""),
                "Lift the bridge bar with its formers in one lift, then draw the rods with pliers. Ease the lid off "
                "all round, and take the patterns out last. Peel nothing by force: a place that holds was not "
                "released. Set the walls round the lower half again for the cast.",
            ),
        ),
    )


def _told(*sentences: str) -> str:
    return " ".join(sentence for sentence in sentences if sentence)


def _look(facts: BenchFacts) -> tuple[SheetStep, ...]:
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


# ---------------------------------------------------------------- the cast


def _before_cast(facts: BenchFacts) -> tuple[SheetStep, ...]:
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


def _mix_resin(facts: BenchFacts) -> tuple[SheetStep, ...]:
    hurt = ("isocyanates", "curatives") if facts.urethane else ()
    return (
        _weigh(facts.cast, *hurt),
        SheetStep(
            words="Pigment, if any, goes into the polyol part before weighing. Mix one to three minutes without "
            "whipping air in, scrape, tip into a second clean cup, mix again.",
            cautions=("exotherm",),
            readings=("mixed, time",),
        ),
    )


def _close_with_cover(facts: BenchFacts) -> tuple[SheetStep, ...]:
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


def _close_with_lid(facts: BenchFacts) -> tuple[SheetStep, ...]:
    return (
        SheetStep(
            words="Pour slowly down one side of each cavity until the lower half is brim-full, and wet the hollows of "
            "the lid. Rock and tap the mould; prick what rises.",
            readings=("poured by, time",),
        ),
        SheetStep(
            words="Set one long edge of the lid down, keys to hollows (it fits one way only), lower it like a hinge "
            "and drive air and resin across. Resin must rise in every well. Lay the press board on its stops; straps "
            "near both ends, none across the middle. Without the walls, a 2 mm cord lies in the groove along "
            f"the parting. Closed at the latest {facts.cast.allowed} after A and B touched.",
            readings=("closed, time",),
            ticks=("resin in every well", "board on its stops"),
        ),
    )


def _after(facts: BenchFacts) -> tuple[SheetPhase, ...]:
    return (
        SheetPhase(title="Cure", steps=_cure_cast(facts)),
        SheetPhase(title="Take out and finish", steps=_take_out(facts)),
        SheetPhase(title="Measure and decide", steps=_measure()),
    )


def _cure_cast(facts: BenchFacts) -> tuple[SheetStep, ...]:
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


def _take_out(facts: BenchFacts) -> tuple[SheetStep, ...]:
    wait = f"After {facts.resin_demould}: " if facts.resin_demould else ""
    rod = "draw the core rods first, then " if facts.core == "rod" else ""
    if facts.hard_core is not None and facts.hard_core.spindle:
        rod = "draw the spindles first, then "
    cure = f"Full cure: {facts.resin_full_cure}, or as its sheet says. " if facts.resin_full_cure else ""
    what = _told(
        f"{wait}{peel_the_overflow(facts)}{rod}open the mould, let air in along the part and push it out. "
        "Early means torn or tacky.",
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


def _measure() -> tuple[SheetStep, ...]:
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
