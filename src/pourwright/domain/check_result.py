"""What a check found: the value, the limit, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Severity = Literal["fail", "caution", "note"]


@dataclass(frozen=True, kw_only=True)
class CheckResult:
    """One finding about a part, kit or pour.

    `value` and `limit` are in `unit`, as shown to a person; either is None where there is no number.
    A result that is not ok and has severity "fail" makes the kit a failed one; a "caution" is shown.
    """

    name: str
    ok: bool
    severity: Severity = "fail"
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    advice: str = ""

    @property
    def failed(self) -> bool:
        """Not ok, and grave enough to refuse the kit."""
        return not self.ok and self.severity == "fail"
