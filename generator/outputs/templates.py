"""1:1 prints as PDF: footprint, cover and every insert, on as many sheets as each needs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from generator.base.errors import Mistake, RecipeError
from generator.base.finding import Severity
from generator.base.paper_sizes import FORMAT_WORDS, format_of
from generator.outputs.output import Files, Output, Proof, Work
from generator.outputs.proofs import count_proof
from generator.outputs.templates_proof import prove_print
from generator.paper.pdf import pdf_bytes
from generator.paper.printed_bars import correction_of
from generator.paper.template_pages import Page, PrintFacts, pages_of
from generator.paper.templates import Template, templates_of
from generator.paper.tiles import MOST_SHEETS, TooManySheetsError
from generator.recipe.model_order import Order
from generator.recipe.model_paper import Paper

__all__ = ["FOLDER", "OUTPUT", "prints_of"]

FOLDER: Final = "templates"
FORBIDS: Final = Severity.FORBIDS


def prints_of(work: Work) -> tuple[tuple[str, Template, tuple[Page, ...]], ...]:
    """Return path, content and pages of every print.

    Raises: RecipeError: the paper is too small for one; without its place in the recipe.
    """
    return work.once(_prints)


def _prints(work: Work) -> tuple[tuple[str, Template, tuple[Page, ...]], ...]:
    facts, out = _facts(work), []
    for template in templates_of(work.plan):
        try:
            pages = pages_of(template, facts)
        except TooManySheetsError as error:
            raise RecipeError([_too_small(template, facts, error)]) from error
        out.append((f"{FOLDER}/{template.name}.pdf", template, pages))
    return tuple(out)


def _facts(work: Work) -> PrintFacts:
    plan = work.plan
    order, paper = (work.recipe.order, work.recipe.paper) if work.recipe else (Order(), Paper())
    return PrintFacts(
        name=plan.name,
        title=plan.title,
        revision=plan.revision,
        date=order.date,
        units=plan.units,
        paper=format_of(paper.size),
        correction=correction_of(paper.printed_bars),
        forbidden=tuple(dict.fromkeys(f.code for o in work.outcomes for f in o.findings if f.severity is FORBIDS)),
    )


def _too_small(template: Template, facts: PrintFacts, error: TooManySheetsError) -> Mistake:
    """Return the mistake of a sheet that is too small, with the size that does."""
    larger = [name for name in FORMAT_WORDS if name != facts.paper.name and _fits(template, facts, name)]
    some = f"set `paper.size: {larger[0]}`, or " if larger else ""
    count = f"{error.sheets} sheets" if error.sheets else "more sheets than can be joined"
    found = f"`{facts.paper.name}`, of which the print of the {template.title} takes {count}"
    remedy = f"{some}leave the templates out: name the other outputs with --outputs"
    return Mistake("", 0, 0, "paper.size", found, f"paper that takes at most {MOST_SHEETS}", remedy)


def _fits(template: Template, facts: PrintFacts, size: str) -> bool:
    from dataclasses import replace

    try:
        pages_of(template, replace(facts, paper=format_of(size)))
    except TooManySheetsError:
        return False
    return True


def write(work: Work) -> Iterator[tuple[str, bytes]]:
    """Yield one file a print."""
    for path, template, pages in prints_of(work):
        title = f"{work.plan.name}, {template.title}, revision {work.plan.revision}, 1:1"
        yield path, pdf_bytes([p.sheet for p in pages], title=title)


def prove(work: Work, files: Files) -> Iterator[Proof]:
    """Yield the proofs that every print, read back, shows on every sheet what it should, where it should."""
    prints = {path: (template, pages) for path, template, pages in prints_of(work)}
    yield count_proof("one file a print and no other", FOLDER, len(set(prints) ^ set(files)))
    for path, (template, pages) in prints.items():
        if path in files:
            yield from prove_print(path, files[path], template, pages)


OUTPUT = Output(
    name="templates",
    help="1:1 prints of footprint, cover and inserts as PDF, to try on the real thing.",
    needs_solid=False,
    write=write,
    prove=prove,
)
