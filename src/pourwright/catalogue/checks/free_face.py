"""What does a face cost that is not moulded but sets in the air?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult

_PROUD_MM = 1.0  # how high a sharp rim holds up resin before it runs over (judgement)


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution where resin would have to stand more than 1 mm over the rim to make up what it loses (judgement)."""
    proud = facts.figure("free_face_proud_mm")
    if proud <= 0:
        return None
    ok = proud <= _PROUD_MM
    words = (
        f"fill until the resin stands {proud:.1f} mm proud; the face is trimmed or sanded flat, and what bubbles reach "
        "it stay there; a mould moved or out of level spills"
    )
    way_out = (
        f"the resin would have to stand {proud:.1f} mm over the rim and runs over: top up just before it gels, pour "
        "with less pressure, or take the open style with its cover plate"
    )
    return CheckResult(
        name="free face", ok=ok, severity="caution", value=round(proud, 2), limit=_PROUD_MM, unit="mm proud",
        advice=words if ok else f"{way_out}; the face is trimmed or sanded flat",
    )  # fmt: skip
