"""The bench sheet: the same bytes, the right paper, every word and every caution in its place."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from dataclasses import replace
from functools import cache
from hashlib import sha256
from pathlib import Path

import pytest

from paper_bodies import box_mesh, drawn
from pourwright.basics.errors import PourwrightError, UnknownName
from pourwright.catalogue.guides.cautions import CAUTIONS, DEFER
from pourwright.catalogue.sheets import SHEETS
from pourwright.catalogue.sheets.bench_data import BenchSheetData
from pourwright.catalogue.sheets.bench_sheet import PAPERS, bench_sheet
from pourwright.catalogue.sheets.bench_steps import phases_for
from pourwright.domain.kit import Kit
from pourwright.engines.paper.callouts import exploded
from pourwright.engines.paper.drawing import picture
from pourwright.engines.paper.typesetting import fonts_folder, typeset
from pourwright.steps.sheets import SheetPictures, bench_sheet_data
from sample_nouns import (
    LIDDED,
    ONE_PART,
    OPEN,
    SIDE,
    failed_kit,
    sample_kit,
    sample_materials,
    sample_pours,
    sample_project,
    sample_shop,
)

STYLES = (ONE_PART, OPEN, LIDDED, SIDE)
SOURCE = Path(__file__).parents[2] / "src"
AWKWARD = "#strong[no] *bold* _it_ $x^2$ `code` <tag> @ref \\ // note [a] = b"


def sheet_data(style: str = OPEN, *, kit: Kit | None = None, title: str = "Parcel-box mount") -> BenchSheetData:
    """The words of a sample sheet."""
    kit = kit or sample_kit(style)
    body = drawn("base", box_mesh((0, 0, 0), (10, 10, 4)))
    return bench_sheet_data(
        project=sample_project(style, title=title),
        shop=sample_shop(),
        materials=sample_materials(),
        kit=kit,
        pours=sample_pours(kit),
        pictures=SheetPictures(overview=exploded([body], {}, width=120), section=picture([body], width=120)),
        version="0.1.0",
        key="3fa94c0de11b77aa",
    )


@cache
def sheet(style: str = OPEN, paper: str = "a4") -> bytes:
    """A sample sheet."""
    return bench_sheet(sheet_data(style), paper=paper)


def poppler(tool: str, pdf: bytes, *options: str) -> str:
    """What a tool of poppler says about a PDF."""
    if shutil.which(tool) is None:
        pytest.fail(f"{tool} is missing: install poppler-utils")
    return subprocess.run([tool, *options, "-", "-"][: None if tool == "pdftotext" else -1],
                          input=pdf, capture_output=True, check=True).stdout.decode()  # fmt: skip


def text_of(pdf: bytes) -> str:
    """The words in reading order, with single blanks."""
    return flat(poppler("pdftotext", pdf, "-raw"))


def flat(words: str) -> str:
    """Words without line breaks: a sheet may break where it likes."""
    return re.sub(r"\s+", " ", words.replace("\u00a0", " "))


def steps_of(style: str) -> list:
    """All steps of a sample kit."""
    return [step for phase in sheet_data(style).phases for step in phase.steps]


# ---------------------------------------------------------------- bytes and paper


def test_the_shelf_holds_the_bench_sheet() -> None:
    assert SHEETS["bench sheet"] is bench_sheet


@pytest.mark.parametrize("style", STYLES)
def test_a_sheet_has_the_same_bytes_twice_and_in_a_fresh_process(style: str) -> None:
    words = (
        "import sys; sys.path[:0] = ['tests', 'tests/contracts']\n"
        "from hashlib import sha256\n"
        "from test_bench_sheet import sheet\n"
        f"print(sha256(sheet({style!r})).hexdigest())\n"
    )
    fresh = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True).stdout.strip()
    again = bench_sheet(sheet_data(style))
    assert {sha256(sheet(style)).hexdigest(), sha256(again).hexdigest()} == {fresh}


@pytest.mark.parametrize(("paper", "size"), [("a4", (595.276, 841.89)), ("us-letter", (612.0, 792.0))])
def test_every_page_has_the_size_of_its_paper(paper: str, size: tuple[float, float]) -> None:
    info = poppler("pdfinfo", sheet(paper=paper), "-l", "99")
    sizes = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+) pts", info)
    pages = int(re.search(r"Pages: +(\d+)", info)[1])
    assert len(sizes) == pages
    assert all((float(w), float(h)) == pytest.approx(size, abs=0.01) for w, h in sizes)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("style", STYLES)
def test_pages_are_counted_in_the_footer(style: str, paper: str) -> None:
    pdf = sheet(style, paper)
    pages = int(re.search(r"Pages: +(\d+)", poppler("pdfinfo", pdf))[1])
    assert re.findall(r"Sheet (\d+) / (\d+)", text_of(pdf)) == [(str(k + 1), str(pages)) for k in range(pages)]


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_is_printed_within_15_mm_of_the_sides(paper: str) -> None:
    boxes = poppler("pdftotext", sheet(paper=paper), "-bbox")
    width = float(re.search(r'<page width="([\d.]+)"', boxes)[1])
    lefts = [float(x) for x in re.findall(r'<word xMin="([\d.]+)"', boxes)]
    rights = [float(x) for x in re.findall(r'xMax="([\d.]+)"', boxes)]
    edge = 15 / 25.4 * 72
    assert min(lefts) >= edge - 0.5
    assert max(rights) <= width - edge + 0.5


def test_a_sheet_is_tagged_titled_in_english_and_bears_no_date() -> None:
    info = poppler("pdfinfo", sheet())
    assert re.search(r"Tagged: +yes", info)
    assert "Parcel-box mount" in info
    assert "Date" not in info
    assert b"pdfuaid" in sheet()


def test_an_unknown_paper_is_refused_by_name() -> None:
    with pytest.raises(UnknownName, match="a44"):
        bench_sheet(sheet_data(), paper="a44")


# ---------------------------------------------------------------- words


def test_markup_in_a_persons_words_stays_what_it_is() -> None:
    assert AWKWARD in text_of(bench_sheet(sheet_data(title=AWKWARD)))


@pytest.mark.parametrize("style", STYLES)
def test_what_a_maker_asks_first_stands_before_everything_else(style: str) -> None:
    data, words = sheet_data(style), text_of(sheet(style))
    places = [words.index(flat(f"{question} {answer}")) for question, answer in data.asked_first]
    assert len(places) == 5
    assert max(places) < words.index("This mould") < words.index("Print card")


@pytest.mark.parametrize("style", STYLES)
def test_every_piece_is_listed_with_its_count_and_size(style: str) -> None:
    words = text_of(sheet(style))
    for body in sample_kit(style).bodies:
        size = " × ".join(f"{1e3 * length:.1f}" for length in body.size)
        assert f"{body.name} {body.files[0]} {body.count} {size} mm" in words


@pytest.mark.parametrize("style", STYLES)
def test_every_pour_prints_both_masses_and_the_figures_to_stop_at(style: str) -> None:
    words = text_of(sheet(style))
    for pour in sample_pours(sample_kit(style)).pours:
        first, both = (f"{1e3 * mass:.1f} g" for mass in pour.stop_scale_at)
        card = words[words.index(pour.name[0].upper() + pour.name[1:] + " " + pour.material) :]
        assert f"{1e3 * pour.a:.1f} g" in card[:900]
        assert f"{1e3 * pour.b:.1f} g" in card[:900]
        assert f"stop the scale at {first}" in card[:900]
        assert f"same cup, stop at {both}" in card[:900]


def test_a_ratio_nobody_has_read_from_a_sheet_is_marked_on_each_of_its_pours() -> None:
    data = sheet_data()
    mark = "Read your sheet before mixing"
    assert text_of(sheet()).count(mark) == len(data.pours)
    known = replace(data, pours=tuple(replace(pour, placeholder=False) for pour in data.pours))
    assert mark not in text_of(bench_sheet(known))


def test_the_open_style_releases_nothing_and_the_lidded_style_lists_its_faces() -> None:
    assert "Nothing to release" in text_of(sheet(OPEN))
    words = text_of(sheet(LIDDED))
    assert "parting 24.0 cm²" in words
    assert "all of it 33.2 cm²" in words
    assert "Release both coats" in words


def test_a_failed_kit_is_marked_on_every_page_with_the_reason_and_a_proven_one_is_not() -> None:
    failed = text_of(bench_sheet(sheet_data(kit=failed_kit())))
    pages = int(re.search(r"Sheet \d+ / (\d+)", failed)[1])
    assert failed.count("NOT PROVEN: do not pour") == pages + 1
    assert "thinnest silicone lip: 0.2 mm (limit 1.5): part the mould where the edge radius begins" in failed
    assert "NOT PROVEN" not in text_of(sheet())


def test_a_kit_without_a_proof_is_not_proven() -> None:
    assert sheet_data(kit=replace(sample_kit(), proofs=())).mark == "NOT PROVEN: do not pour"


@pytest.mark.parametrize("style", STYLES)
def test_checks_that_are_not_well_are_printed_and_the_others_are_not(style: str) -> None:
    kit = sample_kit(style)
    words = text_of(sheet(style))
    for check in (*kit.checks, *sample_pours(kit).checks):
        shown = f"{check.name} {check.value:.3g}" if check.value is not None else check.name
        if not check.ok and check.severity != "note":
            assert flat(check.advice) in words
        elif check.ok:
            assert flat(f"! caution {shown}") not in words


@pytest.mark.parametrize("style", STYLES)
def test_every_promise_not_made_and_every_assumption_is_printed(style: str) -> None:
    data, words = sheet_data(style), text_of(sheet(style))
    for sentence in (*data.promises_not, *data.assumed, DEFER):
        assert flat(sentence) in words
    assert "room 23 °C; humidity 50 %; bed 220 × 220 × 250 mm; and carries 2 kg; infill 100 %" in words


# ---------------------------------------------------------------- steps and cautions


@pytest.mark.parametrize("style", STYLES)
def test_all_steps_are_printed_in_order_with_their_readings(style: str) -> None:
    words = text_of(sheet(style))
    place = words.index("Step by step")
    for step in steps_of(style):
        place = words.index(flat(step.words), place)
        for reading in (*step.ticks, *step.readings):
            assert reading in words[place : place + len(step.words) + 200]


@pytest.mark.parametrize("style", STYLES)
def test_every_caution_stands_at_its_step_before_the_words_that_start_the_work(style: str) -> None:
    words = text_of(sheet(style))
    place = words.index("Step by step")
    seen: set[str] = set()
    for step in steps_of(style):
        work = words.index(flat(step.words), place)
        for name in step.cautions:
            caution = CAUTIONS[name]
            said = caution.brief if name in seen else caution.words
            assert place < words.index(flat(f"! Caution {caution.title}. {said}"), place) < work
            seen.add(name)
        place = work


def test_the_cautions_of_the_trade_stand_where_the_work_can_hurt() -> None:
    for style in STYLES:
        by_words = {step.words: step.cautions for step in steps_of(style)}

        def at(start: str, by_words: dict[str, tuple[str, ...]] = by_words) -> tuple[str, ...]:
            return next(cautions for words, cautions in by_words.items() if start in words)

        assert "isocyanates" in at("Weigh the cast")
        assert "pressure vessel" in at("Mould into the pot")
        assert "vent to zero" in at("Let the air out")
        assert "sanding dust" in at("Sand the faces")
        assert "sanding dust" in at("Trim flash")
        assert "exotherm" in at("Mix one to three minutes")
        assert "load-bearing" in at("may be used for")
    assert "release solvent" in at("Brush release")


def test_every_caution_is_used_by_a_step_and_every_step_names_a_known_one() -> None:
    used = {name for style in STYLES for step in steps_of(style) for name in step.cautions}
    used |= {name for step in steps_in_parts() for name in step.cautions}
    assert used == set(CAUTIONS)


def steps_in_parts() -> list:
    """All steps of a kit whose walls and base do not fit the bed."""
    kit = replace(sample_kit(OPEN), joined={"base": 2, "west wall": 3})
    return [step for phase in sheet_data(kit=kit).phases for step in phase.steps]


def test_pieces_in_parts_are_joined_and_sealed_before_the_patch_test_and_only_then() -> None:
    words = [step.words for step in steps_in_parts()]
    join = next(place for place, word in enumerate(words) if "base (2 parts), west wall (3 parts)" in word)
    assert "Patch test" in words[join + 1]
    assert "fill it with silicone from a syringe" in words[join]
    assert not any("in parts" in step.words for style in STYLES for step in steps_of(style))


def test_the_words_of_a_caution_are_written_once() -> None:
    sources = [path.read_text(encoding="utf-8") for path in SOURCE.rglob("*") if path.suffix in {".py", ".typ"}]
    for caution in CAUTIONS.values():
        start = caution.words[:45]
        assert sum(text.count(start) for text in sources) == 1, caution.name


def test_a_caution_that_is_not_there_stops_the_sheet() -> None:
    with pytest.raises(PourwrightError, match="needs the caution 'sanding dust'"):
        bench_sheet(replace(sheet_data(), cautions={}))


def test_bores_are_filled_first_when_there_are_bores() -> None:
    first = "Fill bores first, by syringe"
    for style in STYLES:
        starts = [step.words for step in steps_of(style)]
        if style == SIDE:  # its patterns are printed with the bore filled
            assert not [words for words in starts if words.startswith(first)]
            continue
        bore = next(k for k, words in enumerate(starts) if words.startswith(first))
        assert starts[bore + 1].startswith("Pour a pencil-thin stream")
    project = sample_project()
    solid = replace(project, part=replace(project.part, dimensions={"outer_diameter": 24e-3, "height": 15e-3}))
    kit = sample_kit()
    data = bench_sheet_data(
        project=solid,
        shop=sample_shop(),
        materials=sample_materials(),
        kit=kit,
        pours=sample_pours(kit),
        version="0",
        key="0" * 12,
    )
    assert first not in str(data.phases)


@pytest.mark.parametrize("style", [OPEN, LIDDED])
def test_a_mould_that_leans_is_leaned_right_after_it_is_closed_and_no_other(style: str) -> None:
    leaned = {"block_mm": 8.7, "raise": "+y", "tilt_deg": 5.0}
    kit = replace(sample_kit(style), air={"leaned": leaned})
    [cast] = [phase for phase in sheet_data(style, kit=kit).phases if phase.title == "Cast"]
    assert "block 9 mm high under its +y edge" in cast.steps[-1].words
    assert not any("block 9 mm" in step.words for step in steps_of(style))


def test_without_a_pot_no_step_mentions_one() -> None:
    kit, shop, wish = sample_kit(), replace(sample_shop(), pot=None), sample_project()
    data = bench_sheet_data(
        project=replace(wish, mould=replace(wish.mould, pressure=None)),
        shop=shop,
        materials=sample_materials(),
        kit=kit,
        pours=sample_pours(kit, shop=shop),
        version="0",
        key="0" * 12,
    )
    cautions = {name for phase in data.phases for step in phase.steps for name in step.cautions}
    assert not {"pressure vessel", "vent to zero"} & cautions
    assert not any("the pot" in step.words for phase in data.phases for step in phase.steps)
    assert b"%PDF" in bench_sheet(data)[:8]


def test_a_style_without_steps_is_refused_by_name() -> None:
    with pytest.raises(UnknownName, match="three-part"):
        phases_for(replace_facts("three-part"))


def replace_facts(style: str):
    """Facts of a style that has no steps."""
    from pourwright.catalogue.sheets.bench_steps import BenchFacts

    card = sheet_data().pours[0]
    return BenchFacts(style=style, cavities=1, platinum=True, urethane=True, silicone_pours=(card,), cast=card)


# ---------------------------------------------------------------- typesetting

HEAD = '#set document(title: "x", date: none)\n#set text(font: "DejaVu Sans")\n'


def test_no_template_would_download_anything() -> None:
    for path in SOURCE.rglob("*.typ"):
        assert "@preview" not in path.read_text(encoding="utf-8")


def test_a_template_reads_only_what_it_is_given() -> None:
    for wanted in ("/etc/hostname", "pyproject.toml", "../pyproject.toml"):
        with pytest.raises(PourwrightError, match="cannot be set"):
            typeset(HEAD + f'#read("{wanted}")', data={})


def test_a_warning_is_an_error() -> None:
    with pytest.raises(PourwrightError, match="unknown font"):
        typeset('#set document(title: "x", date: none)\n#set text(font: "Nobody Sans")\nx', data={})


def test_a_picture_without_words_is_refused() -> None:
    image = exploded([drawn("cube", box_mesh((0, 0, 0), (1, 1, 1)))], {}, width=60)
    with pytest.raises(PourwrightError, match="alt"):
        typeset(HEAD + '#image("a.svg")', data={}, files={"a.svg": image})
    assert typeset(HEAD + '#image("a.svg", alt: "a cube")', data={}, files={"a.svg": image})


def test_a_picture_that_is_no_text_is_refused() -> None:
    image = picture([drawn("cube", box_mesh((0, 0, 0), (1, 1, 1)))], width=60)
    with pytest.raises(PourwrightError, match="cannot be set"):
        typeset(HEAD + '#image("a.png", alt: "a cube")', data={}, files={"a.png": image})


def test_a_fault_names_the_sheet_and_the_field() -> None:
    with pytest.raises(PourwrightError, match=r"the cure card cannot be set: .*nothere") as caught:
        typeset(HEAD + '#json("data.json").nothere', data={"there": 1}, name="cure card")
    assert caught.value.field == '#json("data.json").nothere'


def test_missing_fonts_say_what_to_run(tmp_path: Path) -> None:
    with pytest.raises(PourwrightError, match="fonts for paper") as caught:
        fonts_folder(tmp_path)
    assert "./start" in caught.value.advice


def test_the_font_package_is_pinned_and_its_lock_names_no_address() -> None:
    root = SOURCE.parent
    assert '"dejavu-fonts-ttf": "2.37.3"' in (root / "package.json").read_text(encoding="utf-8")
    lock = (root / "package-lock.json").read_text(encoding="utf-8")
    assert '"resolved"' not in lock
    assert '"integrity"' in lock


def test_there_is_a_line_for_each_part_of_the_cast_and_for_the_test_button() -> None:
    words = text_of(bench_sheet(replace(sheet_data(), parts=6)))
    assert "mass, g 1 2 3 4 5 6 test button" in words


@pytest.mark.parametrize("style", STYLES)
def test_a_pattern_is_sanded_and_sealed_before_it_is_measured(style: str) -> None:
    steps = [step.words for phase in sheet_data(style).phases for step in phase.steps]
    at = next(k for k, words in enumerate(steps) if words.startswith("Print one pattern, finish it as the next step"))
    assert steps[at + 1].startswith("Sand the faces that meet silicone")
