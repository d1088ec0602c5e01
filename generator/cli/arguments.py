"""The command line: what can be asked, with help and examples."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from generator.cli.family_arguments import FAMILY_EXAMPLES, STORE_EXAMPLES, add_family_options, add_store_options
from generator.cli.printer_arguments import add_bars, add_paper
from generator.cli.trace_arguments import READINGS_EXAMPLES, TRACE_EXAMPLES, add_readings_options, add_trace_options

if TYPE_CHECKING:
    _Commands = argparse._SubParsersAction[argparse.ArgumentParser]

CODES = """exit codes:
  0  fine: done, nothing forbids
  1  a finding forbids building, or a measured part fails
  2  a recipe or the command line is wrong; every mistake is listed
  3  the folder or disk refused, a proof failed, or the program itself did; earlier packs are as they were
130  stopped by Ctrl-C or a signal; every pack is whole, as it was or as it was to be
"""

EXAMPLES = """examples:
  coverplate new garden-tap.yaml               a commented recipe to start from
  coverplate check garden-tap.yaml             judge the plan; under a second, no solids
  coverplate suggest garden-tap.yaml           what to change so that nothing forbids
  coverplate show garden-tap.yaml              every value resolved, with where it comes from
  coverplate build garden-tap.yaml             the whole pack under out/garden-tap/
  coverplate build 'recipes/*.yaml' --out out  several recipes
  coverplate build latch.yaml --set parameters.plot=21
  coverplate inspect latch.yaml readings.csv   what was measured, held against the recipe
  coverplate handoff garden-tap.yaml           one zip for the shop, its files compared with each other
  coverplate family plots.yaml                 every variant of a family, only what has changed
  coverplate compare old.yaml new.yaml         what changed, and which sheets are to be reissued
  coverplate trace scan-1.png scan-2.png       the original's footprint from scans, with its uncertainty
  coverplate readings latch.footprint.yaml     a blank caliper sheet with a numbered picture
  coverplate shapes                            every outer shape with its recipe lines, as a page and a picture
  coverplate printer-page                      a page to measure: does the printer print what it should?
"""


class _Version(argparse.Action):
    """Print the version; looked up only when asked for, because that takes longer than all other arguments."""

    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> None:
        from importlib import metadata

        print(f"coverplate {metadata.version('coverplate')}")
        parser.exit()


def make_parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command line."""
    parser = argparse.ArgumentParser(
        prog="coverplate",
        description="From one YAML recipe to a proven pack: STEP, DXF layers, pictures, report.",
        epilog=EXAMPLES + "\n" + CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="print the version")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    _add_new(commands)
    _add_check(commands)
    _add_suggest(commands)
    _add_show(commands)
    _add_build(commands)
    _add_inspect(commands)
    _add_handoff(commands)
    _add_family(commands)
    _add_store(commands)
    _add_compare(commands)
    _add_trace(commands)
    _add_readings(commands)
    _add_schema(commands)
    _add_shapes(commands)
    _add_printer_page(commands)
    return parser


def _command(commands: _Commands, name: str, help: str, example: str) -> argparse.ArgumentParser:
    """Return a parser for one command with its example and the exit codes below the help."""
    made = commands.add_parser(
        name,
        help=help,
        description=help,
        epilog=f"examples:\n{example}\n{CODES}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    made.add_argument("--debug", action="store_true", help="show the traceback of an internal failure")
    return made


def _voice(parser: argparse.ArgumentParser) -> None:
    """Add how much is said, and in what form."""
    parser.add_argument("--json", action="store_true", help="answer as JSON on standard output")
    parser.add_argument("--quiet", action="store_true", help="print problems only")


def _common(parser: argparse.ArgumentParser) -> None:
    """Add what every command on recipes takes."""
    parser.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        dest="sets",
        help="lay a value over the recipe, such as parameters.plot=21; may be given again",
    )
    _voice(parser)


def _add_new(commands: _Commands) -> None:
    p = _command(
        commands,
        "new",
        "Write a commented recipe to start from.",
        "  coverplate new door-bell.yaml\n  coverplate new door-bell.yaml --units inch\n",
    )
    p.add_argument("recipe", help="file to write; an existing one is never overwritten")
    p.add_argument("--units", choices=("mm", "inch"), default="mm", help="unit of bare lengths (default: mm)")
    _voice(p)


def _add_check(commands: _Commands) -> None:
    p = _command(
        commands,
        "check",
        "Judge recipes without building: mistakes and findings, no solids.",
        "  coverplate check recipes/gate-latch.yaml\n  coverplate check 'recipes/*.yaml' --json\n"
        "  coverplate check recipes/gate-latch.yaml --plan plan.svg\n"
        "  coverplate check recipes/gate-latch.yaml --templates paper\n  coverplate check --explain thin-floor\n",
    )
    p.add_argument("recipes", nargs="*", metavar="RECIPE", help="recipe files; patterns such as 'recipes/*.yaml' too")
    p.add_argument(
        "--plan", metavar="FILE", help="draw the plan as SVG, findings at their places, those that forbid included"
    )
    p.add_argument(
        "--templates",
        metavar="FOLDER",
        help="write the 1:1 prints to try on the real thing, also where building is forbidden: marked NOT TO BE CUT",
    )
    p.add_argument("--explain", metavar="NAME", help="say why a check is made, how it is reckoned, and its source")
    _common(p)


def _add_suggest(commands: _Commands) -> None:
    p = _command(
        commands,
        "suggest",
        "Find the nearest recipe in which nothing forbids, and show the edits that lead there.",
        "  coverplate suggest garden-tap.yaml\n  coverplate suggest garden-tap.yaml --write\n",
    )
    p.add_argument("recipes", nargs=1, metavar="RECIPE", help="recipe file")
    p.add_argument("--write", action="store_true", help="put the edits into the recipe; comments and order are kept")
    _common(p)


def _add_show(commands: _Commands) -> None:
    p = _command(
        commands,
        "show",
        "Print the recipe with everything resolved and where each value comes from.",
        "  coverplate show recipes/gate-latch.yaml\n  coverplate show plot-21.yaml --set parameters.plot=22\n",
    )
    p.add_argument("recipes", nargs=1, metavar="RECIPE", help="recipe file")
    _common(p)


def _add_build(commands: _Commands) -> None:
    p = _command(
        commands,
        "build",
        "Build packs: STEP, DXF layers, pictures, report, proofs.",
        "  coverplate build recipes/gate-latch.yaml\n"
        "  coverplate build 'recipes/*.yaml' --out /tmp/packs\n"
        "  coverplate build plot-21.yaml --outputs step,layers-dxf\n"
        "  coverplate build plot-21.yaml --printed-bar x=99.6,y=100.2\n",
    )
    p.add_argument("recipes", nargs="+", metavar="RECIPE", help="recipe files; patterns such as 'recipes/*.yaml' too")
    p.add_argument("--out", default="out", metavar="FOLDER", help="folder of the packs (default: out)")
    p.add_argument(
        "--outputs",
        default="",
        metavar="NAME,…",
        help="only these outputs: step, layers-dxf, previews, plan-svg, prints, templates, drawings-pdf, drawings-dxf, "
        "setup-sheets, inspection, parts-list, visual-report (default: all; report and manifest always)",
    )
    add_bars(p)
    _common(p)


def _add_inspect(commands: _Commands) -> None:
    p = _command(
        commands,
        "inspect",
        "Hold readings of made parts against their recipe: pass or fail, capability, what the errors say.",
        "  coverplate inspect recipes/gate-latch.yaml readings.csv\n"
        "  coverplate inspect gate-latch.yaml readings.csv --set parameters.plot=21 --json\n",
    )
    p.add_argument("recipe", metavar="RECIPE", help="recipe file that the parts were made from")
    p.add_argument("readings", metavar="READINGS", help="inspection/inspection.csv of the pack, filled in")
    _common(p)


def _add_handoff(commands: _Commands) -> None:
    p = _command(
        commands,
        "handoff",
        "Write the one zip that goes to the shop: solids, drawings, layers, inspection sheet, and a letter.",
        "  coverplate handoff recipes/gate-latch.yaml\n"
        "  coverplate handoff gate-latch.yaml --set revision=B --out /tmp/shop\n",
    )
    p.add_argument("recipe", metavar="RECIPE", help="recipe file")
    p.add_argument("--out", default="out", metavar="FOLDER", help="folder of the pack and the zip (default: out)")
    _common(p)


def _add_family(commands: _Commands) -> None:
    p = _command(commands, "family", "Make every variant of a family, and only what has changed.", FAMILY_EXAMPLES)
    add_family_options(p)
    _voice(p)


def _add_store(commands: _Commands) -> None:
    p = _command(commands, "store", "Tell or reduce the store of what variants share.", STORE_EXAMPLES)
    add_store_options(p)
    _voice(p)


def _add_compare(commands: _Commands) -> None:
    p = _command(
        commands,
        "compare",
        "Tell what changed between two recipes, two packs, or one of each, and which files are to be reissued.",
        "  coverplate compare recipes/gate-latch.yaml recipes/gate-latch-22.yaml\n"
        "  coverplate compare out/gate-latch recipes/gate-latch.yaml --picture changes.png\n"
        "  coverplate compare latch.yaml latch.yaml --set parameters.reach=33\n",
    )
    p.add_argument("old", metavar="OLD", help="recipe file, or folder of a pack")
    p.add_argument("new", metavar="NEW", help="recipe file, or folder of a pack; --set is laid over it")
    p.add_argument(
        "--picture", default="", metavar="FILE", help="draw areas that came and went: a file that ends in .svg or .png"
    )
    _common(p)


def _add_trace(commands: _Commands) -> None:
    p = _command(
        commands,
        "trace",
        "Trace the original's footprint from scans or a photo and a few caliper readings.",
        TRACE_EXAMPLES,
    )
    add_trace_options(p)
    _voice(p)


def _add_readings(commands: _Commands) -> None:
    p = _command(
        commands,
        "readings",
        "Write a blank caliper sheet for a footprint, what helps most first, with a numbered picture.",
        READINGS_EXAMPLES,
    )
    add_readings_options(p)
    add_paper(p)
    _voice(p)


def _add_schema(commands: _Commands) -> None:
    p = _command(
        commands,
        "schema",
        "Print the recipe's JSON Schema, or its reference page, for editors and readers.",
        "  coverplate schema --write recipe.schema.json\n  coverplate schema --reference\n",
    )
    p.add_argument("--reference", action="store_true", help="the reference page in Markdown instead")
    p.add_argument("--printer", action="store_true", help="the schema of a printer's settings file instead")
    p.add_argument("--readings", action="store_true", help="the schema of a file of caliper readings instead")
    p.add_argument("--family", action="store_true", help="the schema of the file of a family instead")
    p.add_argument("--checks", action="store_true", help="the page on all checks in Markdown instead")
    p.add_argument("--write", metavar="FILE", default="", help="write to a file instead of standard output")
    _voice(p)


def _add_shapes(commands: _Commands) -> None:
    p = _command(
        commands,
        "shapes",
        "Draw the catalogue of outer shapes: shapes.html, shapes.png and the drawing that one of them names.",
        "  coverplate shapes\n  coverplate shapes --out /tmp/catalogue\n",
    )
    p.add_argument("--out", default="out", metavar="FOLDER", help="folder of the three files (default: out)")
    _voice(p)


def _add_printer_page(commands: _Commands) -> None:
    p = _command(
        commands,
        "printer-page",
        "Write a page with bars, square, diagonals and circle, to find out how true a printer is.",
        "  coverplate printer-page\n"
        "  coverplate printer-page --paper Letter --out /tmp/check.pdf\n"
        "  coverplate printer-page --printed-bar x=99.6,y=100.2\n",
    )
    add_paper(p)
    add_bars(p)
    p.add_argument("--out", default="printer-page.pdf", metavar="FILE", help="file (default: printer-page.pdf)")
    _voice(p)
