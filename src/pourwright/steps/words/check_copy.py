"""What the sheet and the checks say of a project that copies an existing part: the cure on it, and rights."""

from __future__ import annotations

from pourwright.catalogue.guides.old_parts import RIGHTS, inhibition_words
from pourwright.domain.check_result import CheckResult
from pourwright.domain.material import Material
from pourwright.domain.old_part import Original


def copy_checks(original: Original | None, silicone: Material) -> tuple[CheckResult, ...]:
    """A caution where silicone is to be poured on the old part itself and may not cure there.

    Parameters
    ----------
    original : what is copied; None for a part of one's own.
    silicone : of the mould.
    """
    if original is None or not original.as_pattern:
        return ()
    words = inhibition_words(original, silicone.kind)
    return tuple(CheckResult(name="cure on the old part", ok=False, severity="caution", advice=line) for line in words)


def rights_words(original: Original | None) -> tuple[str, ...]:
    """A word on rights for the sheet of a copy."""
    return () if original is None else (f"This copies an existing part. {RIGHTS}",)
