"""The kit as the plain object that `--json` prints: keys carry their unit."""

from __future__ import annotations

import math
from collections.abc import Mapping

from pourwright.app.answer_printing import printing_answer
from pourwright.app.answer_pull import pull_figures
from pourwright.app.answer_silicone import silicone_answer
from pourwright.app.answer_sizes import size_answer
from pourwright.domain.assembly import AssemblyProof
from pourwright.domain.check_result import CheckResult
from pourwright.domain.floating import Floating
from pourwright.domain.inspection import PullChoice
from pourwright.domain.kit import Body, Kit, Offer, Parting, Proof
from pourwright.domain.opening import Opening, WaysOut

_MM3 = 1e9
_MM2 = 1e6
_CM2 = 1e4
_MM = 1e3


def kit_answer(kit: Kit, seconds: Mapping[str, float]) -> dict[str, object]:
    """Everything the contract promises about a kit; all volumes are those of the kernel named."""
    return {
        "project": kit.project,
        "style": kit.style,
        "style_reason": kit.style_reason,
        "pull": list(kit.pull),
        "pull_reason": kit.pull_reason,
        **({} if kit.parting is None else {"parting": parting_answer(kit.parting, kit.undercut_volume)}),
        "cavities": kit.cavities,
        "kernel": kit.kernel,
        "scale": kit.scale,
        "part_mm3": kit.part_volume * _MM3,
        "cavity_mm3": kit.cavity_volume * _MM3,
        "vents_mm3": kit.vents_volume * _MM3,
        "wells_mm3": kit.wells_volume * _MM3,
        "silicone_lower_mm3": kit.silicone_lower_volume * _MM3,
        "silicone_lid_mm3": kit.silicone_lid_volume * _MM3,
        "box": kit.box,
        "layout": kit.arrangement,
        "box_inside_mm": _lengths(kit.box_inside),
        "box_inside_mm3": kit.box_volume * _MM3,
        "pot_circle_mm": kit.pot_circle * _MM,
        "per_pot": None if kit.per_pot is None else dict(kit.per_pot),
        "box_outside_mm": _lengths(kit.box_outside),
        "in_parts": dict(kit.joined),
        "bodies": [_body(body) for body in kit.bodies],
        "stretch": dict(kit.stretch),
        "undercut_mm3": None if kit.undercut_volume is None else kit.undercut_volume * _MM3,
        "opening": _opening(kit.opening),
        "thinnest_lip_mm": None if kit.thinnest_lip is None else kit.thinnest_lip * _MM,
        "release_area_cm2": kit.release_area * _CM2,
        "release_groups_cm2": {name: area * _CM2 for name, area in kit.release_groups.items()},
        "air": dict(kit.air),
        "silicone_pours": silicone_answer(kit),
        "floats": [_floating(one) for one in kit.floats],
        "sizes": [size_answer(size) for size in kit.sizes],
        "checks": [check_answer(check) for check in kit.checks],
        "offers": [offer_answer(offer) for offer in kit.offers],
        "proofs": [_proof(proof) for proof in kit.proofs],
        "printing": None if kit.printing is None else printing_answer(kit.printing),
        "assembly": None if kit.assembly is None else assembly_answer(kit.assembly),
        "alternatives": [dict(item) for item in kit.alternatives],
        "ok": kit.ok,
        "seconds": dict(seconds),
    }


def _opening(opening: Opening) -> dict[str, object]:
    """What stands in the way in one cavity, and what would help; places from the middle of the cavity."""
    in_file = [*opening.places_in_file, *([None] * (len(opening.held) - len(opening.places_in_file)))]
    return {
        "opens": opening.opens,
        "words": opening.words,
        "undercut_mm3": {half: None if m3 is None else m3 * _MM3 for half, m3 in opening.undercut.items()},
        "stretch": dict(opening.stretch),
        "stretch_allowed": opening.allowed,
        "lid_fills_mm3": opening.lid_fills * _MM3,
        "pattern": opening.pattern or None,
        "pattern_reason": opening.pattern_reason or None,
        "runs_through_mm3": opening.runs_through * _MM3,
        "held": [
            {
                "half": piece.half,
                "volume_mm3": piece.volume * _MM3,
                "depth_mm": piece.depth * _MM,
                "runs_through": piece.runs_through,
                "stretch": piece.stretch,
                "at_mm": _lengths(piece.place),
                "at_in_file_mm": None if place is None else _lengths(place),
            }
            for piece, place in zip(opening.held, in_file, strict=True)
        ],
        "ways_out": None if opening.ways_out is None else _ways_out(opening.ways_out),
    }


def _ways_out(ways: WaysOut) -> dict[str, object]:
    return {
        "words": ways.words,
        "pull": None if ways.pull is None else _pull(ways.pull),
        "style": ways.style or None,
        "silicones": list(ways.silicones),
        "least_bad": None if ways.least_bad is None else _pull(ways.least_bad),
    }


def _pull(way: PullChoice) -> dict[str, object]:
    return {"pull": list(way.direction), **pull_figures(way)}


def _floating(one: Floating) -> dict[str, object]:
    """What wants to rise in a pour, of one piece."""
    return {
        "piece": one.piece,
        "count": one.count,
        "in": one.liquid,
        "lift_N": one.lift,
        "must_hold_N": one.must_hold,
        "held_by": one.held_by,
        "rigid": one.rigid,
        "rests_on": one.rests_on,
    }


def check_answer(check: CheckResult) -> dict[str, object]:
    """One check as a plain object."""
    return {
        "name": check.name,
        "ok": check.ok,
        "severity": check.severity,
        "value": check.value,
        "limit": check.limit,
        "unit": check.unit,
        "advice": check.advice,
    }


def offer_answer(offer: Offer) -> dict[str, object]:
    """Another way to make the mould, with what was proven of it, as a plain object."""
    return {
        "answers": offer.answers,
        "words": offer.words,
        "change": dict(offer.change),
        "ok": offer.ok,
        "failed": list(offer.failed),
        "identities": offer.identities,
        "silicone_g": None if offer.silicone is None else offer.silicone * 1e3,
        "silicone_now_g": None if offer.silicone_now is None else offer.silicone_now * 1e3,
        "buy": [
            {
                "what": one.what,
                "diameter_mm": round(one.diameter * _MM, 3),
                "length_mm": round(one.length * _MM, 1),
                "count": one.count,
            }
            for one in offer.buy
        ],
    }


def assembly_answer(proof: AssemblyProof) -> dict[str, object]:
    """What leaves when and which way, and how the prints fit, as a plain object."""
    return {
        "ok": proof.ok,
        "stages": [{"name": name, "standing": list(standing)} for name, standing in proof.stages],
        "removals": [
            {
                "stage": one.stage,
                "piece": one.piece,
                "along": [round(part, 6) + 0.0 for part in one.along],
                "ok": one.ok,
                "blocked_by": list(one.blocked_by),
                "blocked_mm2": one.blocked_area * _MM2,
                "blocked_at_mm": None if one.blocked_at is None else _lengths(one.blocked_at),
                "stretches": list(one.yields),
            }
            for one in proof.removals
        ],
        "fits": [
            {
                "stage": one.stage,
                "pieces": [one.one, one.other],
                "overlap_mm3": one.overlap * _MM3,
                "play_mm": None if one.play is None else round(one.play * _MM, 4),
                "least_play_mm": round(one.least_play * _MM, 4),
                "ok": one.ok,
            }
            for one in proof.meetings
        ],
    }


def parting_answer(parting: Parting, undercut: float | None) -> dict[str, object]:
    """The face along which the halves meet, with what would stand in the way of a flat one and what does of this."""
    return {
        "kind": parting.kind,
        "reason": parting.reason,
        "along": parting.along or None,
        "steepest_deg": math.degrees(parting.steepest),
        "line_mm": [[place * _MM, height * _MM] for place, height in parting.line],
        "flat_undercut_mm3": parting.flat_undercut * _MM3,
        "undercut_mm3": None if undercut is None else undercut * _MM3,
    }


def _lengths(metres: tuple[float, ...]) -> list[float]:
    return [round(length * _MM, 6) for length in metres]


def _body(body: Body) -> dict[str, object]:
    return {
        "name": body.name,
        "role": body.role,
        "count": body.count,
        "volume_mm3": body.volume * _MM3,
        "size_mm": _lengths(body.size),
        "printed": body.printed,
        "watertight": body.watertight,
        "files": list(body.files),
    }


def _proof(proof: Proof) -> dict[str, object]:
    return {
        "kernel": proof.kernel,
        "ok": proof.ok,
        "fuzzy_mm": proof.fuzzy * _MM,
        "identities": [
            {"name": one.name, "value": one.value, "bound": one.bound, "ok": one.ok} for one in proof.identities
        ],
        "missing": dict(proof.missing),
    }
