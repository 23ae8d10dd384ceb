"""From the nouns of a project to the words of its bench sheet: every number with its unit, every caution in place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from pourwright.basics.quantities import show
from pourwright.catalogue.guides.cautions import CAUTIONS, DEFER
from pourwright.catalogue.moulds.prints.pocket import POCKET
from pourwright.catalogue.sheets.bench_data import (
    BenchSheetData,
    SheetCaution,
    SheetCheck,
    SheetPicture,
    SheetPiece,
    SheetPour,
)
from pourwright.catalogue.sheets.bench_facts import BenchFacts
from pourwright.catalogue.sheets.bench_steps import phases_for
from pourwright.catalogue.sheets.breather_steps import way_of_breathing
from pourwright.domain.check_result import CheckResult
from pourwright.domain.kit import Body, Kit
from pourwright.domain.part import Project
from pourwright.domain.pours import CAST, Pours
from pourwright.domain.shop import Shop
from pourwright.steps.make_pours import Materials
from pourwright.steps.studies.kit_air import lean_words, level_words
from pourwright.steps.studies.opening import gives_way_words
from pourwright.steps.words.assembly_words import apart_by_stage
from pourwright.steps.words.assumed_words import assumed_words
from pourwright.steps.words.check_copy import rights_words
from pourwright.steps.words.core_words import hard_core_words
from pourwright.steps.words.floating_words import floating_words
from pourwright.steps.words.pour_words import bore_words, ledge_words
from pourwright.steps.words.print_words import piece_words, printing_rules
from pourwright.steps.words.release_words import release_rows, release_words
from pourwright.steps.words.sheet_numbers import THIN, about, full_minutes, grams, millimetres
from pourwright.steps.words.sheet_pours import pour_card
from pourwright.steps.words.size_words import pattern_words, size_rows, size_rules

VERSION = 1
_BORES = ("bore", "inner_diameter")

PROMISES_NOT = (
    "It does not promise a part without voids, and not a part of a certain strength, life or hardness: it says what "
    "to print, weigh and do.",
    "The mould fit check proves from solids that the closed mould leaves the part. It does not prove that your "
    "printer prints those solids, that your silicone cures on them, or that the mould comes apart by hand.",
    "Figures of a material class, from memory or from judgement, are not those of your can. Your sheet goes before "
    "them, and your own measurement before both.",
    "Masses follow from volume, density and ratio; what stays in the cup is an estimate.",
)


@dataclass(frozen=True, kw_only=True)
class SheetPictures:
    """Pictures of one kit, PNG or SVG; None where there is none."""

    overview: bytes | None = None
    section: bytes | None = None
    release: bytes | None = None


def bench_sheet_data(
    *,
    project: Project,
    shop: Shop,
    materials: Materials,
    kit: Kit,
    pours: Pours,
    pictures: SheetPictures = SheetPictures(),
    version: str,
    key: str,
) -> BenchSheetData:
    """Everything that the bench sheet of one kit says.

    Parameters
    ----------
    project, shop, materials : as loaded.
    kit, pours : as made from them.
    pictures : of the kit.
    version : of the program.
    key : content key of the project; its first twelve digits are printed.
    """
    cards = tuple(pour_card(pour, shop, pours.currency) for pour in pours.pours)
    facts = _bench_facts(project, shop, materials, kit, pours, cards)
    checks = (*kit.checks, *pours.checks)
    told = printing_rules(kit.printing) if kit.printing else ()
    return BenchSheetData(
        title=project.title or project.name,
        project=project.name,
        version=version,
        key=key[:12],
        style=kit.style,
        style_reason=_sentence(kit.style_reason),
        asked_first=_asked_first(kit, pours),
        facts=_facts(project, shop, kit),
        pieces=tuple(_piece(body, kit) for body in kit.bodies if body.printed),
        print_rules=(
            *told[:1],
            *_print_rules(project),
            *told[1:],
            *rights_words(project.original),
            *(_sentence(note) for note in kit.notes),
        ),
        pours=cards,
        phases=phases_for(facts),
        cautions={c.name: SheetCaution(title=c.title, words=c.words, brief=c.brief) for c in CAUTIONS.values()},
        defer=DEFER,
        promises_not=PROMISES_NOT,
        pressure=_pressure_words(project, shop),
        release=release_rows(kit),
        release_words=release_words(kit),
        checks=tuple(_check(check) for check in checks if not check.ok and check.severity != "note"),
        mark=_mark(kit, pours),
        failures=_failures(kit, checks),
        assumed=assumed_words(project, shop),
        parts=kit.cavities,
        sizes=size_rows(kit.sizes),
        size_rules=size_rules(kit.sizes, project.name),
        overview=_picture(
            pictures.overview,
            f"The pieces of the mould of {project.title or project.name}, drawn apart and named.",
            caption="Left: the first silicone pour, as it stands on the bench. Right: the mould for the cast.",
        ),
        section=_picture(
            pictures.section,
            "A cut through one row of cells: silicone, cavity, walls and what closes the mould.",
            caption="Cut through one row of cells, as the mould stands for the cast.",
        ),
        release_picture=_picture(pictures.release, "The faces to be released, where silicone meets silicone."),
    )


# ---------------------------------------------------------------- the top


def _asked_first(kit: Kit, pours: Pours) -> tuple[tuple[str, str], ...]:
    silicone = sum(pour.total for pour in pours.pours if pour.name != CAST)
    price = "no prices set" if pours.cost is None else f"{pours.cost:.2f}{THIN}{pours.currency}".rstrip()
    pieces = sum(body.count for body in kit.bodies if body.printed)
    return (
        ("Silicone to mix", grams(silicone)),
        ("Resin for one cast", grams(pours.named(CAST).total)),
        ("Price of both", price),
        ("Pieces to print", str(pieces)),
        ("Parts in hand after", about(pours.parts_in_hand)),
    )


def _facts(project: Project, shop: Shop, kit: Kit) -> tuple[tuple[str, str], ...]:
    lip = "–" if kit.thinnest_lip is None else millimetres(kit.thinnest_lip)
    warmth = show(shop.room.temperature, "temperature", "°C", digits=3, space=THIN)
    stretch = ", ".join(
        f"{name} {value:.2f}" for name, value in kit.stretch.items() if value is not None and name != "allowed"
    )
    return (
        ("cavities", str(kit.cavities)),
        ("outside", " × ".join(f"{1e3 * size:.1f}" for size in kit.box_outside) + f"{THIN}mm"),
        *_per_pot(kit),
        ("one part", show(kit.part_volume, "volume", "mL", digits=3, space=THIN)),
        ("pattern scale", f"{kit.scale:.4f}".rstrip("0").rstrip(".")),
        ("thinnest lip", lip),
        ("stretch to open", stretch or "–"),
        ("silicone", project.silicone),
        ("resin", project.resin),
        ("room", f"{warmth}, {100 * shop.room.humidity:.0f} %"),
        ("mould pressure", _pressure(project) or "none"),
        ("mould fit check", _proven(kit)),
    )


def _per_pot(kit: Kit) -> tuple[tuple[str, str], ...]:
    if kit.per_pot is None:
        return ()
    beside, stacked = kit.per_pot["side_by_side"], kit.per_pot["stacked"]
    return (("moulds in the pot at once", f"{kit.per_pot['moulds']} ({beside} side by side, {stacked} high)"),)


def _proven(kit: Kit) -> str:
    if not kit.proofs:
        return "not run"
    if not all(proof.ok for proof in kit.proofs):
        return "FAILED"
    count = sum(len(proof.identities) for proof in kit.proofs)
    kernels = "two kernels" if len(kit.proofs) > 1 else "one kernel"
    return f"{count} identities hold, in {kernels}"


def _mark(kit: Kit, pours: Pours) -> str:
    if not kit.proofs or not kit.ok:
        return "NOT PROVEN: do not pour"
    return "" if pours.ok else "NOT AS PLANNED: do not pour"


def _failures(kit: Kit, checks: Iterable[CheckResult]) -> tuple[str, ...]:
    proofs = [
        f"{identity.name} ({proof.kernel}): off by {identity.value:.3g}, allowed {identity.bound:.3g}"
        for proof in kit.proofs
        for identity in proof.identities
        if not identity.ok
    ]
    missing = [] if kit.proofs else ["the mould fit check was not run"]
    failed = [": ".join(part for part in (c.name, _figure(c), c.advice) if part) for c in checks if c.failed]
    return (*missing, *proofs, *failed)


def _check(check: CheckResult) -> SheetCheck:
    return SheetCheck(
        name=check.name,
        mark="failed" if check.failed else "caution",
        figure=_figure(check),
        advice=check.advice,
    )


def _figure(check: CheckResult) -> str:
    if check.value is None:
        return ""
    limit = "" if check.limit is None else f" (limit {_plain(check.limit)})"
    return f"{_plain(check.value)}{THIN}{check.unit}{limit}".strip()


def _plain(number: float) -> str:
    return f"{number:.3g}" if abs(number) < 1000 else f"{number:.0f}"


# ---------------------------------------------------------------- printing


def _piece(body: Body, kit: Kit) -> SheetPiece:
    advice = (
        ""
        if kit.printing is None
        else "; ".join(piece_words(one) for one in kit.printing.pieces if one.name == body.name)
    )
    return SheetPiece(
        name=body.name,
        role=body.role,
        count=body.count,
        size=" × ".join(f"{1e3 * size:.1f}" for size in body.size) + f"{THIN}mm",
        note="; ".join(words for words in (body.print_note or "as it lies in the file", advice) if words),
        files=body.files[0] if body.files else "",
    )


def _print_rules(project: Project) -> tuple[str, ...]:
    if project.mould.infill >= 1.0:
        infill = (
            "Solid, 100 % infill. Air in a sparse print leaks bubbles into the silicone, and under pressure a hollow "
            "print is crushed."
        )
    else:
        breather = (
            "each with its breather open to the air or printed solid, as the print card says"
            if project.mould.breathers
            else "with no way for their air"
        )
        infill = (
            f"Patterns with an infill of {project.mould.infill:.0%}, connected, {breather}; all else that meets "
            "silicone solid. Never seal a hollow print for the pot."
        )
    return (
        "Then print one pattern and measure it. Print the rest only when it is right. Files lie ready on the bed.",
        infill,
        "Layers of 0.1 mm or finer on faces that show; the slicer’s seam where the table says.",
        "Flat faces must be flat: what is warped becomes flash.",
    )


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:] + ("" if words.endswith(".") else ".")


# ---------------------------------------------------------------- what the steps need to know


def _bench_facts(
    project: Project, shop: Shop, materials: Materials, kit: Kit, pours: Pours, cards: tuple[SheetPour, ...]
) -> BenchFacts:
    cast = pours.named(CAST)
    by_name = dict(zip((pour.name for pour in pours.pours), cards, strict=True))
    return BenchFacts(
        style=kit.style,
        cavities=kit.cavities,
        platinum=materials.silicone.kind == "platinum silicone",
        urethane=materials.resin.kind == "urethane",
        silicone_pours=tuple(card for name, card in by_name.items() if name != CAST),
        cast=by_name[CAST],
        core=_core(project, kit),
        lean=lean_words(kit.air),
        ledges=ledge_words(kit),
        bores=bore_words(kit),
        pressure=_pressure(project),
        in_pot_by="" if cast.in_pot_by is None else full_minutes(cast.in_pot_by),
        silicone_demould=_time_of(materials.silicone.facts, "demould_time"),
        resin_demould=_time_of(materials.resin.facts, "demould_time"),
        resin_full_cure=_time_of(materials.resin.facts, "full_cure"),
        pattern_size=pattern_words(kit.sizes),
        gives_way=gives_way_words(kit.opening),
        hard_core=hard_core_words(kit),
        level_within=level_words(kit.air, kit.box_inside[0]),
        joined=", ".join(f"{name} ({count} parts)" for name, count in kit.joined.items()),
        joined_walls=any(name.endswith("wall") for name in kit.joined),
        breathers=_breathers(kit),
        floats=floating_words(kit),
        apart=apart_by_stage(kit.assembly),
        in_pocket=kit.opening.pattern == POCKET,
        lid_fills=_lid_fills(kit),
        slanted=kit.parting is not None and kit.parting.kind != "flat",
    )


def _breathers(kit: Kit) -> str:
    """How hollow patterns breathe; empty where none does."""
    patterns, rods = ([b.print_note for b in kit.bodies if b.role == role] for role in ("pattern", "vent rod"))
    return way_of_breathing(kit.style, patterns, rods)


def _lid_fills(kit: Kit) -> str:
    """How much silicone hangs from the lid in each cavity; empty for none."""
    volume = kit.opening.lid_fills
    return show(volume, "volume", "mL", digits=2, space=THIN) if volume > 0 else ""


def _core(project: Project, kit: Kit) -> str:
    if any(body.name == "core rod" for body in kit.bodies):
        return "rod"
    bored = any(project.part.dimensions.get(name, 0.0) > 0 for name in _BORES)
    found = any(check.name == "bridged bore" for check in kit.checks)  # in a solid from a file
    return "silicone" if bored or found else ""


def _time_of(facts: Mapping[str, object], name: str) -> str:
    fact = facts.get(name)
    estimate = getattr(fact, "estimate", None)
    if estimate is None:
        return ""
    low, high = (show(value, "time", digits=2, space=THIN) for value in (estimate.low, estimate.high))
    return low if low == high else f"{low} to {high}"


# ---------------------------------------------------------------- pressure and release


def _pressure(project: Project) -> str:
    gauge = project.mould.pressure or 0.0
    if gauge <= 0:
        return ""
    bar = show(gauge, "pressure", "bar", digits=2, space=THIN)
    return f"{bar} ({show(gauge, 'pressure', 'psi', digits=2, space=THIN)}) gauge"


def _pressure_words(project: Project, shop: Shop) -> str:
    pressure = _pressure(project)
    if not pressure:
        return "none. No pressure was asked for, or no pot with a rated pressure is in the shop."
    words = f"{pressure}, for the silicone as for the cast"
    if shop.pot is not None and shop.pot.rated_pressure:
        words += f"; the pot is marked for {show(shop.pot.rated_pressure, 'pressure', 'bar', digits=2, space=THIN)}"
        if shop.pot.relief_pressure:
            words += f", its relief opens at {show(shop.pot.relief_pressure, 'pressure', 'bar', digits=2, space=THIN)}"
        words += f", last inspected {shop.pot.inspected_on or 'on a day nobody has written down'}"
    return words + "."


def _picture(content: bytes | None, alt: str, caption: str = "") -> SheetPicture | None:
    return None if content is None else SheetPicture(content=content, alt=alt, caption=caption)
