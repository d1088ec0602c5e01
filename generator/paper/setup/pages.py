"""The pages of a setup sheet, upright: picture and order of operations on the first, measuring behind if it must be."""

from __future__ import annotations

from typing import Final

from generator.base.cautions import CAUTIONS
from generator.base.finding import Finding, Severity
from generator.base.frozen_record import frozen_record
from generator.base.paper_sizes import Format, format_of
from generator.paper.box import Box
from generator.paper.letters import LEAST_MM, fitted, width_mm
from generator.paper.lines import FRAME
from generator.paper.setup.below import Below, draw_words_below, words_below
from generator.paper.setup.flow import AFTER_MM, Block, Portion, height_of, paginated, table_block, text_block
from generator.paper.setup.measures_table import measures_table, measures_title
from generator.paper.setup.picture import draw_picture, height_at, height_for
from generator.paper.setup.side import holes_table, holes_title
from generator.paper.setup.steps_table import assumed, how_reckoned, steps_table
from generator.paper.setup.subject import Subject
from generator.paper.sheet import Easel, Sheet, line

__all__ = ["Layout", "layout_of", "setup_pages"]

EDGE_MM: Final = 10.0
HEAD_MM: Final = 22.5
FACE_MM: Final = 10.0
NAME_MM: Final = (7.0, 5.0, 3.5)
"""Heights in which the setup's name is tried."""
TEXT_MM: Final = 3.5
GAP_MM: Final = 5.0
LEAST_PICTURE_MM: Final = 64.0
LIFE: Final = 1.0
"""The picture is no lower than this and shows the piece no smaller than in life, where the page is wide enough. Where
all does not go on one page with it, it takes what the first page has."""
OF_MACHINE: Final = next(c.text for c in CAUTIONS if c.id == "machine")
OTHERS: Final = " ".join(c.text for c in CAUTIONS if c.id in ("edges", "law"))


@frozen_record
class Layout:
    """Where everything stands.

    Attributes:
        paper: upright.
        below: what stands below the picture.
        pages: what stands below that, and on every page after the first.
        picture: box of the picture on the first page, mm.
        with_steps: numbers of the pages, from 0, on which the order of operations stands.
    """

    paper: Format
    below: Below
    pages: tuple[tuple[Portion, ...], ...]
    picture: Box
    with_steps: tuple[int, ...]


def layout_of(subject: Subject) -> Layout:
    """Return the layout on the recipe's paper: holes below the picture, or behind if that leaves it too small."""
    paper = format_of(subject.recipe.paper.size).portrait
    here, behind = (_laid_out(subject, paper, with_holes=w) for w in (True, False))
    wide = here.picture.width
    is_small = here.picture.height < min(height_for(subject, wide), height_at(subject, wide, LIFE))
    return behind if len(behind.pages) < len(here.pages) + (1 if is_small else 0) else here


def _laid_out(subject: Subject, paper: Format, *, with_holes: bool) -> Layout:
    body = _body(paper)
    below = words_below(subject, body.width, body.height, with_holes=with_holes)
    work = _work(subject, body)
    blocks = [*work, *_after(subject, body, holes=below.holes is None)]
    left = body.height - below.height - GAP_MM - height_of(_foot(body))
    useful = height_for(subject, body.width)
    least = max(LEAST_PICTURE_MM, min(useful, height_at(subject, body.width, LIFE)))
    fits = left - least >= height_of(blocks)
    pages = paginated(blocks, left - (least if fits else min(left, useful)), body.height)
    high = min(left - sum(p.height for p in pages[0]), useful)
    picture = Box(body.left, body.top - high, body.right, body.top)
    with_steps = tuple(k for k, page in enumerate(pages) if any(p.block is work[0] for p in page))
    return Layout(paper, below, pages, picture, with_steps)


def _body(paper: Format) -> Box:
    low = EDGE_MM + 0.5  # descents of the last line
    return Box(EDGE_MM, low, paper.width_mm - EDGE_MM, paper.height_mm - EDGE_MM - HEAD_MM)


def setup_pages(subject: Subject, layout: Layout) -> tuple[Sheet, ...]:
    """Return the pages of a setup; the first has the caution of the machine at its foot."""
    body, count = _body(layout.paper), len(layout.pages)
    sheets = []
    for k, portions in enumerate(layout.pages):
        easel = Easel()
        _draw_head(easel, layout.paper, subject, f"page {k + 1} of {count}" if count > 1 else "")
        y = body.top
        if k == 0:
            draw_picture(easel, layout.picture, subject)
            y = draw_words_below(easel, subject, layout.below, body.left, layout.picture.bottom - GAP_MM)
            foot = _foot(body)
            _draw_down(easel, foot, body.bottom + height_of(foot) - AFTER_MM)
        for p in portions:
            p.block.draw(easel, y, p.first, p.end)
            y -= p.height
        sheets.append(Sheet(layout.paper, tuple(easel.items), f"{subject.setup.name}, page {k + 1}"))
    return tuple(sheets)


def _foot(body: Box) -> list[Block]:
    """Return the cautions that stand at the foot of the first page."""
    machine = text_block(body.left, body.width, [OF_MACHINE], TEXT_MM, framed=True)
    return [machine, text_block(body.left, body.width, [OTHERS], LEAST_MM)]


def _draw_down(easel: Easel, blocks: list[Block], top: float) -> None:
    for block in blocks:
        block.draw(easel, top, 0, block.rows)
        top -= block.height(0, block.rows)


# ------------------------------------------------------------------ what follows
def _work(subject: Subject, body: Box) -> list[Block]:
    """Return the order of operations with what belongs to it."""
    out = [table_block(body.left, steps_table(subject, body.width), "Order of operations")]
    if words := assumed(subject):
        out.append(text_block(body.left, body.width, [words], TEXT_MM))
    out.append(text_block(body.left, body.width, how_reckoned(subject), LEAST_MM))
    return out


def _after(subject: Subject, body: Box, *, holes: bool) -> list[Block]:
    """Return what is done when all is cut, and what was found."""
    out = []
    if holes and (table := holes_table(subject, body.width, across=2)) is not None:
        out.append(table_block(body.left, table, holes_title(subject)))
    if subject.measured:
        out.append(table_block(body.left, measures_table(subject, body.width), measures_title(subject)))
    loud = [_told(f) for f in subject.findings if f.severity is not Severity.NOTES]
    plain = [_told(f) for f in subject.findings if f.severity is Severity.NOTES]
    if loud:
        out.append(text_block(body.left, body.width, loud, TEXT_MM, title="WARNINGS", framed=True))
    if plain:
        out.append(text_block(body.left, body.width, plain, LEAST_MM, title="Notes"))
    return out


def _told(f: Finding) -> str:
    return f"{f.check}: {f.message}"


# ------------------------------------------------------------------ head and foot
def _draw_head(easel: Easel, paper: Format, subject: Subject, page: str) -> None:
    top, right = paper.height_mm - EDGE_MM, paper.width_mm - EDGE_MM
    face = f"{subject.setup.face.value.upper()} FACE UP"
    easel.write(face, (EDGE_MM, top - FACE_MM - 0.4), FACE_MM, bold=True)
    room = right - EDGE_MM - width_mm(face, FACE_MM, bold=True) - 5.0
    name = subject.setup.name.replace("setup-insert-", "insert ").replace("setup-", "setup ")
    high = next((h for h in NAME_MM if width_mm(name, h, bold=True) <= room), NAME_MM[-1])
    easel.write(fitted(name, high, room, bold=True), (right, top - FACE_MM - 0.4), high, anchor="end", bold=True)
    plan, order = subject.plan, subject.recipe.order
    said = f"{plan.name} {subject.part.name}, revision {plan.revision}"
    said += f", {order.date}" if order.date else ""
    said += f": {plan.title}" if plan.title else ""
    which = subject.unit.plural + (f", {page}" if page else "")
    y = top - FACE_MM - 7.4
    easel.write(which, (right, y), TEXT_MM, anchor="end")
    room = right - EDGE_MM - width_mm(which, TEXT_MM) - 5.0
    easel.write(fitted(said, TEXT_MM, room), (EDGE_MM, y), TEXT_MM)
    easel.draw(line((EDGE_MM, y - 2.5), (right, y - 2.5)), kind=FRAME)
