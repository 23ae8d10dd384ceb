"""Where the work can hurt, in plain words: each caution once, for sheets, pages and the command line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

DEFER = (
    "The cautions on this sheet are reminders and no more. The safety data sheet of each material, the marking "
    "and manual of each vessel and machine, the law and codes where you work, and people licensed for the work "
    "go before anything printed here. Nothing here says that the work is safe."
)


@dataclass(frozen=True, kw_only=True)
class Caution:
    """One caution: `name` is its key, `source` the kind of source it rests on.

    `words` are printed where it first matters, `brief` wherever it matters again.
    """

    name: str
    title: str
    words: str
    brief: str
    source: str


_ALL = (
    Caution(
        name="isocyanates",
        title="Isocyanate",
        words=(
            "One part of a urethane holds isocyanate. It can make lungs and skin sensitive for life, and smell gives "
            "no warning. Draw the air of the room to the outside. Wear nitrile gloves, eye protection and long "
            "sleeves; take the respirator that the safety data sheet names. Keep everybody else out. Never spray it "
            "and never heat it beyond its sheet. At the first tight chest, cough or rash stop for good and see a "
            "doctor. In the European Union work with 0.1 % or more of monomeric diisocyanate asks for a passed "
            "training, the self-employed included."
        ),
        brief="Air to the outside, nitrile gloves, eyes and arms covered, nobody else in the room.",
        source="authority; common practice",
    ),
    Caution(
        name="curatives",
        title="Curatives",
        words=(
            "Read sections 2, 3 and 15 of both safety data sheets before you open a can. Where they list MOCA or "
            "another aromatic amine, or a mercury or organotin catalyst, this sheet is not made for that material."
        ),
        brief="Both safety data sheets come first: sections 2, 3 and 15.",
        source="authority; from memory",
    ),
    Caution(
        name="pressure vessel",
        title="Pressure vessel",
        words=(
            "Only a commercial vessel with a plate, marked for at least the pressure on this sheet; none that was "
            "made or converted at home, no glass, no PVC. Relief valve set at or below the marking, tested, with no "
            "valve between it and the vessel; a regulator ahead of it. Leave lid and clamps as the maker made them "
            "and tighten them evenly. At 4 bar the lid of a 250 mm pot is pushed up with 20 kN, the weight of two "
            "tonnes. Eye and ear protection on; stand aside; keep children away; have it inspected as the law where "
            "you are asks. Dents, cracks or rust end its use."
        ),
        brief="Marked commercial vessel only, relief valve tested, clamps even, eyes and ears covered, stand aside.",
        source="authority; calculated; common practice",
    ),
    Caution(
        name="vent to zero",
        title="Vent to zero",
        words=(
            "Before a hand goes to a clamp: shut the supply, let the air out slowly, see the gauge at zero and hear "
            "that no more air comes. A gauge can stick, so open the vent fully and wait before you loosen anything."
        ),
        brief="Supply shut, air out slowly, gauge at zero, no sound of air; only then a hand on the clamps.",
        source="common practice",
    ),
    Caution(
        name="vacuum",
        title="Vacuum",
        words=(
            "A vacuum vessel can burst inwards: eye protection on, no cracked acrylic, no vessel that was not made "
            "for it. No solvent vapour into the pump."
        ),
        brief="Eye protection on; no cracked acrylic; no solvent vapour into the pump.",
        source="general article",
    ),
    Caution(
        name="release solvent",
        title="Release and solvents",
        words=(
            "Spray release, primer and alcohol give off vapour that burns. No flame, no pilot light, no hot pot or "
            "oven near by; air to the outside. Let the solvent leave fully before you close a vessel or start a pump."
        ),
        brief="No flame, no hot oven or pot; air to the outside; let the solvent leave fully.",
        source="common practice; authority",
    ),
    Caution(
        name="print resin",
        title="Uncured print resin",
        words="Uncured photopolymer can make skin sensitive: gloves on until the piece is washed and fully cured.",
        brief="Gloves on until the piece is washed and fully cured.",
        source="from memory",
    ),
    Caution(
        name="epoxy glue",
        title="Epoxy glue",
        words="Uncured epoxy can make skin sensitive for good: gloves on, fresh air, no skin contact until it is hard.",
        brief="Gloves on until it is hard.",
        source="common practice",
    ),
    Caution(
        name="sanding dust",
        title="Dust",
        words=(
            "Sand wet, or with extraction and a P2, P3, N95 or P100 mask. Rubber that has not fully cured can still "
            "carry isocyanate and amine, so wait for the full cure. Do not blow clothes clean with compressed air."
        ),
        brief="Wet, or with extraction and a mask; only fully cured rubber.",
        source="common practice",
    ),
    Caution(
        name="exotherm",
        title="Heat of reaction",
        words=(
            "A large or fast mix grows hot and can smoke. Do not leave more in the cup than you need, put no lid on "
            "a cup that reacts, spread what is left over in a thin layer, outdoors or under extraction."
        ),
        brief="No lid on a cup that reacts; spread what is left over.",
        source="general article; common practice",
    ),
    Caution(
        name="oven",
        title="Oven",
        words=(
            "A vented oven with a cut-out, kept for this work; never the kitchen’s. No alcohol or fresh solvent in "
            "it. Urethane that is far overheated gives isocyanate back, and its smoke is poisonous."
        ),
        brief="A vented oven with a cut-out, never the kitchen’s; no solvent in it.",
        source="general article",
    ),
    Caution(
        name="waste",
        title="Waste",
        words=(
            "Let leftovers cure fully before you bin them. Never seal a cup or can that reacts or is wet with water: "
            "the gas can burst it."
        ),
        brief="Cure leftovers fully before you bin them; never seal a cup that reacts.",
        source="common practice",
    ),
    Caution(
        name="load-bearing",
        title="Parts that people rely on",
        words=(
            "Anything that people ride, steer, brake, hang from or lift with, and anything medical, for food or for "
            "small children, needs tests that no sheet and no calculation replaces. Nothing here shows that a part "
            "is strong enough or will last. Until a named test has been passed, do not let anyone rely on it."
        ),
        brief="No one may rely on a part before a named test has been passed.",
        source="authority; judgement",
    ),
)

CAUTIONS: Mapping[str, Caution] = {caution.name: caution for caution in _ALL}
