"""What to do at the bench for a hard core: its spindle, its preparation, its place in the mould."""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.catalogue.sheets.bench_data import SheetStep


@dataclass(frozen=True, kw_only=True)
class HardCore:
    """The hard cores of one mould in words: how many, the spindle ("" without one), how far the lands press."""

    count: int
    spindle: str = ""
    squeeze: str = ""
    printed: bool = False
    lift: str = ""
    cups: bool = False
    caps: bool = False

    @property
    def rises(self) -> str:
        """What to do about a core that is lighter than the resin, as a sentence; empty for one that stays down."""
        if not self.lift:
            return ""
        return (
            f" It is lighter than the resin and wants to rise as hard as {self.lift} press down: hold it on its land "
            "with a finger or a weight while you pour, until the mould is closed; the strapped boards hold it then."
        )

    @property
    def each(self) -> str:
        """One or several."""
        return "the core" if self.count == 1 else "each core"


def spindle_steps(core: HardCore | None) -> tuple[SheetStep, ...]:
    """Before the first pour: the spindles through base and patterns."""
    if core is not None and core.cups:
        return (_cups(core),)
    if core is None or not core.spindle:
        return ()
    return (
        SheetStep(
            words=f"Cut and deburr the spindles ({core.spindle}). Rub them thinly with release and push "
            "them through base and patterns until they stand 10 mm out of the fill line to come; a turn of tape under "
            "the base keeps them there. They leave the holes through which they centre the cores later.",
            ticks=("spindles straight", "upright"),
        ),
    )


def _cups(core: HardCore) -> SheetStep:
    caps = (
        " Keep the caps for the second pour: they go over the upper ends, under the bridge bar, in the same way."
        if core.caps
        else ""
    )
    return SheetStep(
        words="Rub the core cups thinly with release and push them over the lower ends of the cores that the patterns "
        f"copy, right home; they stand 10 mm out of the fill line to come. They hold the real cores later.{caps}",
        ticks=("cups home", "upright"),
    )


def core_steps(core: HardCore | None) -> tuple[SheetStep, ...]:
    """Before the resin is mixed: the cores made ready and set on their lands."""
    if core is None:
        return ()
    return (_prepared(core), _set(core))


def _prepared(core: HardCore) -> SheetStep:
    dry = " A printed core must be solid and dry: hollow ones blow bubbles into the rubber." if core.printed else ""
    return SheetStep(
        words="Make the cores ready: degrease, roughen where the rubber will hold (not the ends and not the bore), "
        "take the dust off, degrease again, then prime as the primer's data sheet says and keep its times. No release, "
        f"no bare fingers on them after that. Bring them to the temperature of the mix.{dry} Nothing on this sheet "
        "promises that the rubber sticks: peel one off on purpose before you trust the rest.",
        cautions=("release solvent", "sanding dust", "load-bearing"),
        readings=("primer", "primed, time", "core, g", "core, °C"),
    )


def _set(core: HardCore) -> SheetStep:
    press = f" Pressed down it gives by {core.squeeze} and springs back" if core.squeeze else ""
    if core.cups:
        return SheetStep(
            words="Stand the lower half in its walls on the levelling board, both strapped, the cups in the sockets of "
            f"the board, to their bottom. Push {core.each} into its cup until it stands on the cup's floor; silicone "
            f"closes round it. Wipe dust and release off first.{core.rises}",
            ticks=("cups in their sockets", "cores home"),
        )
    if not core.spindle:
        return SheetStep(
            words=f"Stand the lower half in its walls on the levelling board and set {core.each} into its seat, "
            f"square, end face flat on the silicone.{press}: that closes its end against resin. Wipe dust and release "
            f"off the land first.{core.rises}",
            ticks=("cores square", "lands clean"),
        )
    return SheetStep(
        words="Stand the lower half in its walls on the levelling board, both strapped. Push the spindles down through "
        f"the silicone into the sockets of the board, to their bottom. Slide {core.each} on, end face flat on its land."
        f"{press}: that closes its bore against resin. Wipe dust and release off the land first. Turn a core on its "
        f"spindle and watch the gap to the silicone: it must stay even all round.{core.rises}",
        ticks=("spindles in their sockets", "cores on their lands", "gap even"),
    )
