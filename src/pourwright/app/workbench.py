"""One method for each wish of a person: new shop, kit, pours, everything; files come out whole or not at all."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, fields, replace
from functools import partial
from pathlib import Path
from typing import Any

from pourwright import __version__
from pourwright.app.answer_kit import kit_answer
from pourwright.app.answer_pours import pours_answer
from pourwright.app.jobs import Worker
from pourwright.app.large_part import LargePart
from pourwright.app.project_files import Loaded, load
from pourwright.app.remembered import Remembered
from pourwright.basics.content_key import content_key
from pourwright.basics.errors import DoesNotFit, InputError
from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.stand.facts import SolidFacts
from pourwright.domain.check_result import CheckResult
from pourwright.domain.kit import Kit
from pourwright.domain.part import MouldWish
from pourwright.domain.pours import Pours
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.steps.make_kit import KitDraft, make_kit, with_exact_proof
from pourwright.steps.make_pours import make_pours, volumes_of
from pourwright.steps.planning.kit_wish import allowed_stretch, bed_mm
from pourwright.steps.print_files import file_stem, print_files, printing_evaluator
from pourwright.steps.words.print_words import seam_metadata
from pourwright.store.cache import Cache, cache_folder
from pourwright.store.shop_folder import ShopFolder, located, open_shop
from pourwright.store.writing import write_files

PREVIEW_SEGMENTS = 48
_EXACT_JOB = "pourwright.app.exact_job:prove_and_export"
_WARM_JOB = "pourwright.app.exact_job:warm_up"
_MARK = "NOT-PROVEN.txt"
_PAPER = ("pictures/", "bench-sheet", "pours.json")  # how the paths begin of what only `make` brings


@dataclass(frozen=True, kw_only=True)
class Made:
    """What one wish brought: the kit, what to weigh (None if not asked), the files in `out`, and how long it took.

    `remembered` says that nothing that goes in has changed since it was made before, so that it was not made again.
    """

    loaded: Loaded
    kit: Kit
    pours: Pours | None
    out: Path
    files: tuple[str, ...]
    seconds: Mapping[str, float]
    remembered: bool = False

    @property
    def ok(self) -> bool:
        """Every proof and check holds."""
        return self.kit.ok and (self.pours is None or self.pours.ok)


class Workbench:
    """Everything that can be asked of one shop folder.

    Parameters
    ----------
    shop : the shop folder, or a folder inside one; None for where the person stands.
    fresh : make everything anew, whatever is remembered.
    """

    def __init__(self, shop: Path | None = None, *, fresh: bool = False) -> None:
        self.folder: ShopFolder = open_shop(shop)
        self._memory = Remembered(Cache(cache_folder()), fresh=fresh)

    def kit(self, name: str, *, step: bool = True, report: Report = silent) -> Made:
        """Print files and the mould fit check, into the project's `out`."""
        return self._make(name, step=step, paper=False, report=report)

    def make(self, name: str, *, report: Report = silent) -> Made:
        """Everything derived: kit, pours, pictures and the bench sheet, into the project's `out`."""
        return self._make(name, step=True, paper=True, report=report)

    def pours(self, name: str, *, poured_a: float | None = None, report: Report = silent) -> tuple[Kit, Pours]:
        """What to weigh; or what B to add to the A (kg) really poured. Writes nothing."""
        loaded = load(self.folder, name, report=report)
        known = self._memory.recall(("pours",), loaded)
        if known is None:
            kit = self._draft(loaded, span(report, 0.1, 0.9)).kit
            self._memory.keep(("pours",), loaded, kit, {})
        else:
            kit, _ = known
        return kit, _pours(loaded, kit, poured_a)

    def _draft(self, loaded: Loaded, report: Report, settled: Callable[[MouldDesign], None] | None = None) -> KitDraft:
        from pourwright.engines.geometry.kernels.mesh import MeshKernel
        from pourwright.steps.planning.full_volumes import with_full_volumes
        from pourwright.steps.studies.study_solid import study_solid

        evaluator = Evaluator(MeshKernel(segments=PREVIEW_SEGMENTS, library=loaded.twins))
        allowed = allowed_stretch(loaded.materials.silicone)
        try:
            solid = study_solid(loaded.shape, evaluator, allowed_stretch=allowed, report=span(report, 0.0, 0.1))
            draft = make_kit(
                loaded.project,
                loaded.shape,
                loaded.shop,
                resin=loaded.materials.resin,
                silicone=loaded.materials.silicone,
                evaluator=evaluator,
                solid=solid,
                settled=settled,
                report=span(report, 0.1, 1.0) if solid else report,
            )
            return with_full_volumes(_proven_apart(draft, loaded, evaluator, report), loaded.twins, loaded.library)
        except DoesNotFit as error:
            better = _with_what_fits(error, loaded, evaluator, solid, report)
            raise located(self.folder, loaded.project.name, _in_its_table(better)) from error
        except InputError as error:
            raise located(self.folder, loaded.project.name, _in_its_table(error)) from error

    def _make(self, name: str, *, step: bool, paper: bool, report: Report) -> Made:
        clock = _Clock()
        with ExitStack() as stack:
            large = stack.enter_context(LargePart())
            loaded = load(self.folder, name, large=large, report=span(report, 0.0, 0.05))
            clock.mark("read")
            known = self._recalled(loaded, step=step, paper=paper)
            if known is None:
                worker = stack.enter_context(Worker()) if step and loaded.shape.exact else None
                kit, files = self._made(
                    loaded, large, worker, paper=paper, clock=clock, report=span(report, 0.05, 0.95)
                )
                self._memory.keep(_made_words(step=step, paper=paper), loaded, kit, files)
            else:
                kit, files = known
                clock.mark("remembered")
        pours = _pours(loaded, kit, None) if paper else None
        checks = (*kit.checks, *(pours.checks if pours is not None else ()))
        if any(check.failed for check in checks):
            files[_MARK] = not_proven_words(checks).encode()
        files["kit.json"] = _json(kit_answer(kit, {}))
        report(0.98, "writing the files")
        out = self.folder.out(loaded.project.name)
        write_files(out, dict(sorted(files.items())))
        clock.mark("write")
        report(1.0, "done")
        return Made(loaded=loaded, kit=kit, pours=pours, out=out, files=tuple(sorted(files)), seconds=clock.seconds,
                    remembered=known is not None)  # fmt: skip

    def _recalled(self, loaded: Loaded, *, step: bool, paper: bool) -> tuple[Kit, dict[str, bytes]] | None:
        """The kit as it was made before; one with paper has all that one without has."""
        known = self._memory.recall(_made_words(step=step, paper=paper), loaded)
        if known is not None or paper:
            return known
        known = self._memory.recall(_made_words(step=step, paper=True), loaded)
        if known is None:
            return None
        kit, files = known
        return kit, {path: content for path, content in files.items() if not path.startswith(_PAPER)}

    def _made(
        self, loaded: Loaded, large: LargePart, worker: Worker | None, *, paper: bool, clock: _Clock, report: Report
    ) -> tuple[Kit, dict[str, bytes]]:
        """The kit with all files but those that tell of it as a whole.

        Parameters
        ----------
        large : the second process, should the part need one.
        worker : for the exact kernel; None without one.
        """
        if worker is not None:
            worker.start(_WARM_JOB)
        draft = self._draft(loaded, span(report, 0.0, 0.4), partial(large.begin_print, library=loaded.library))
        clock.mark("mesh_kit")
        files: dict[str, bytes] = {}
        if worker is not None and draft.kit.proofs[0].ok:
            worker.result()
            worker.start(_EXACT_JOB, design=draft.design, library=dict(loaded.library),
                         mesh_proof=draft.kit.proofs[0], segments=PREVIEW_SEGMENTS)  # fmt: skip
        printing = printing_evaluator(draft.design, loaded.library)
        if draft.kit.proofs[0].ok:
            files |= _print_files(loaded, draft, large, printing, span(report, 0.4, 0.55))
        clock.mark("print_files")
        if paper:
            files |= _pictures(loaded, draft, printing, span(report, 0.55, 0.75))
            clock.mark("pictures")
        kit = draft.kit
        if worker is not None and draft.kit.proofs[0].ok:
            exact = worker.result(span(report, 0.75, 0.9))
            kit = with_exact_proof(draft, exact.proof, exact.why)
            files |= exact.files
        clock.mark("exact_kit")
        if not all(proof.ok for proof in kit.proofs[:1]):
            files = {path: data for path, data in files.items() if not path.startswith("print/")}
        kit = _with_file_names(kit, files)
        if paper:
            report(0.9, "setting the bench sheet")
            pours = _pours(loaded, kit, None)
            files |= _sheets(loaded, kit, pours, files)
            files["pours.json"] = _json(pours_answer(pours))
            clock.mark("sheets")
        return kit, files


def _made_words(*, step: bool, paper: bool) -> tuple[str, ...]:
    """What is made, in words for the memory."""
    return ("kit", *(("step",) if step else ()), *(("paper",) if paper else ()))


def _print_files(
    loaded: Loaded, draft: KitDraft, large: LargePart, evaluator: Evaluator, report: Report
) -> dict[str, bytes]:
    bed, metadata = bed_mm(loaded.shop.printers[0]), _metadata(loaded, draft)
    begun = large.print_files(draft.design, bed_mm=bed, metadata=metadata, report=report)
    if begun is not None:
        return begun
    return print_files(draft.design, evaluator, bed_mm=bed, metadata=metadata, report=report)


def _proven_apart(draft: KitDraft, loaded: Loaded, evaluator: Evaluator, report: Report) -> KitDraft:
    """The draft with the proof that its pieces come apart, advice for their prints, and what reading warned of."""
    from pourwright.steps.print_advice import print_advice
    from pourwright.steps.proofs.prove_assembly import assembly_checks, prove_assembly
    from pourwright.steps.words.print_words import print_checks

    if not draft.kit.proofs[0].ok:  # pieces may be missing or broken: there is nothing to take apart or to print
        return replace(draft, kit=replace(draft.kit, checks=(*draft.kit.checks, *loaded.cautions)))
    proof = prove_assembly(draft.design, evaluator, report=span(report, 0.85, 0.95))
    printing = print_advice(draft.design, evaluator, loaded.shop, report=span(report, 0.95, 1.0))
    checks = (*draft.kit.checks, *assembly_checks(proof), *print_checks(printing), *loaded.cautions)
    return replace(draft, kit=replace(draft.kit, assembly=proof, printing=printing, checks=checks))


class _Clock:
    """Seconds of each leg of the work, and the whole."""

    def __init__(self) -> None:
        self._start = self._last = time.perf_counter()
        self.seconds: dict[str, float] = {}

    def mark(self, leg: str) -> None:
        now = time.perf_counter()
        self.seconds[leg] = round(now - self._last, 4)
        self.seconds["total"] = round(now - self._start, 4)
        self._last = now


_MOULD_KEYS = frozenset(one.name for one in fields(MouldWish))


def _in_its_table(error: InputError) -> InputError:
    """A mould style names the wish that cannot be met by its key; the file has that key under [mould]."""
    if error.field in _MOULD_KEYS:
        error.field = f"mould.{error.field}"
    return error


def _with_what_fits(
    error: DoesNotFit, loaded: Loaded, evaluator: Evaluator, solid: SolidFacts | None, report: Report
) -> DoesNotFit:
    from pourwright.app.pull_that_fits import with_pull_that_fits
    from pourwright.steps.planning.suggest_fit import best_that_fits, with_what_fits

    fitting = best_that_fits(
        loaded.project,
        loaded.shape,
        loaded.shop,
        loaded.materials,
        evaluator=evaluator,
        solid=solid,
        report=report,
    )
    return with_pull_that_fits(with_what_fits(error, fitting, loaded.project), loaded, report=report)


def _pours(loaded: Loaded, kit: Kit, poured_a: float | None) -> Pours:
    return make_pours(volumes_of(kit), loaded.project, loaded.shop, loaded.materials, poured_a=poured_a)


def project_key(loaded: Loaded) -> str:
    """A key that changes exactly when what the kit is made from does."""
    project = replace(loaded.project, assumed=())
    return content_key(__version__, project, loaded.materials.resin, loaded.materials.silicone, loaded.shop)


def _metadata(loaded: Loaded, draft: KitDraft) -> dict[str, str]:
    return {
        "Title": loaded.project.title or loaded.project.name,
        "Application": f"Pourwright {__version__}",
        "SpecKey": project_key(loaded),
        "PatternScale": f"{draft.design.scale:.9g}",
        "Kernel": draft.kit.kernel,
        **({} if draft.kit.printing is None else {"Seam": seam_metadata(draft.kit.printing)}),
    }


def _pictures(loaded: Loaded, draft: KitDraft, printing: Evaluator, report: Report) -> dict[str, bytes]:
    """Drawn from the solids that are printed; of a large part from its twin."""
    from pourwright.app.held_picture import held_picture
    from pourwright.steps.pictures.draw_assembly import draw_assembly
    from pourwright.steps.pictures.draw_kit import draw_kit

    whole = all(loaded.twins.get(digest) is solid for digest, solid in loaded.library.items())
    evaluator = printing if whole else printing_evaluator(draft.design, loaded.twins)
    drawn = draw_kit(draft.design, evaluator, report=span(report, 0.0, 0.8))
    files = {"pictures/kit.svg": drawn.overview, "pictures/section.svg": drawn.section}
    if draft.kit.assembly is not None:
        moving = draw_assembly(draft.design, draft.kit.assembly, evaluator, report=span(report, 0.8, 1.0))
        files["pictures/apart.svg"] = moving
    if drawn.release is not None:
        files["pictures/release-map.png"] = drawn.release
    files |= held_picture(loaded, draft.kit, report=report)
    return files | {f"pictures/{file_stem(name)}.png": content for name, content in drawn.pieces.items()}


def _sheets(loaded: Loaded, kit: Kit, pours: Pours, files: Mapping[str, bytes]) -> dict[str, bytes]:
    from pourwright.catalogue.sheets.bench_sheet import bench_sheet
    from pourwright.steps.sheets import SheetPictures, bench_sheet_data

    data = bench_sheet_data(
        project=loaded.project,
        shop=loaded.shop,
        materials=loaded.materials,
        kit=kit,
        pours=pours,
        pictures=SheetPictures(
            overview=files.get("pictures/kit.svg"),
            section=files.get("pictures/section.svg"),
            release=files.get("pictures/release-map.png"),
        ),
        version=__version__,
        key=project_key(loaded),
    )
    return {
        "bench-sheet-a4.pdf": bench_sheet(data, paper="a4"),
        "bench-sheet-letter.pdf": bench_sheet(data, paper="us-letter"),
    }


def _with_file_names(kit: Kit, files: Mapping[str, bytes]) -> Kit:
    step = [name for name in ("kit.step",) if name in files]
    mould = [name for name in ("mould.step",) if name in files]
    bodies = []
    for body in kit.bodies:
        own = [f"print/{file_stem(body.name)}.stl", "print/kit.3mf"] if body.printed else []
        names = (*(name for name in own if name in files), *(step if body.printed else mould))
        bodies.append(replace(body, files=names))
    return replace(kit, bodies=tuple(bodies))


def not_proven_words(checks: Sequence[CheckResult]) -> str:
    """What stands in the file that marks a kit which must not be poured as it is."""
    lines = [f"- {check.name}: {check.advice}" for check in checks if check.failed]
    return "Do not pour this as it is. What failed:\n" + "\n".join(lines) + "\n"


def _json(answer: Mapping[str, Any]) -> bytes:
    return (json.dumps(answer, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode()
