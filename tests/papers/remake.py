"""Remake what the papers show from real builds: recipes in README.md, pictures and contact sheet in docs/pictures/."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT)]

from generator.api import Asked, build, run_family  # noqa: E402
from generator.build.caliper_files import caliper_files  # noqa: E402
from generator.build.footprint_files import trace_files  # noqa: E402

PICTURES = ROOT / "docs" / "pictures"
README = ROOT / "README.md"
TILE = (400, 300)
COLUMNS = 3


def without_comments(text: str) -> str:
    lines = (re.sub(r"(^|\s+)#( .*|$)", "", line).rstrip() for line in text.splitlines())
    kept: list[str] = []
    for line, raw in zip(lines, text.splitlines(), strict=True):
        if line or (not raw.strip() and kept and kept[-1]):
            kept.append(line)
    return "\n".join(kept).strip() + "\n"


def recipes_shown() -> None:
    """Put the demo's recipe and the one based on it into README.md."""
    page = README.read_text(encoding="utf-8")
    blocks = list(re.finditer(r"```yaml\n(.*?)```", page, flags=re.S))
    for name, block in reversed(list(zip(("gate-latch", "gate-latch-22"), blocks, strict=False))):
        text = without_comments((ROOT / "recipes" / f"{name}.yaml").read_text(encoding="utf-8"))
        page = page[: block.start(1)] + text + page[block.end(1) :]
    README.write_text(page, encoding="utf-8")


def pictures() -> None:
    """Build every recipe; keep the demo's pictures and a sheet with the top face of each."""
    tiles = []
    with TemporaryDirectory() as folder:
        for recipe in sorted((ROOT / "recipes").glob("*.yaml")):
            made = Path(build(recipe, out=folder).folder) / "previews"
            tiles.append(Image.open(io.BytesIO((made / "top.png").read_bytes())).convert("RGB"))
            if recipe.stem == "gate-latch":
                for view in ("top", "bottom", "exploded"):
                    (PICTURES / f"gate-latch-{view}.png").write_bytes((made / f"{view}.png").read_bytes())
    rows = -(-len(tiles) // COLUMNS)
    sheet = Image.new("RGB", (COLUMNS * TILE[0], rows * TILE[1]), "white")
    for number, tile in enumerate(tiles):
        small = tile.resize(TILE, Image.Resampling.LANCZOS)
        sheet.paste(small, (number % COLUMNS * TILE[0], number // COLUMNS * TILE[1]))
    sheet.quantize(256, Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE).save(
        PICTURES / "all-recipes.png", optimize=True
    )


def traces() -> None:
    """Trace a scan of the corpus; keep its overlay and the caliper sheet made for it."""
    scan = ROOT / "tests" / "data" / "scans" / "s03-hinge-leaf-300-black-lid"
    with TemporaryDirectory() as folder:
        image, readings = str(scan / "image.jpg"), str(scan / "caliper.yaml")
        trace_files([image], readings=readings, name="hinge-leaf", out=folder)
        caliper_files(f"{folder}/hinge-leaf.footprint.yaml", out=folder)
        for made, kept, wide in (("overlay", "traced-overlay", 1000), ("caliper", "caliper-sheet", 760)):
            picture = Image.open(Path(folder) / f"hinge-leaf.{made}.png").convert("RGB")
            small = picture.resize((wide, round(picture.height * wide / picture.width)), Image.Resampling.LANCZOS)
            small.quantize(128, Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE).save(
                PICTURES / f"{kept}.png", optimize=True
            )


def gallery() -> None:
    """Make the demo family and keep a picture of its gallery as Chromium shows it."""
    browser = next((b for n in ("chromium", "chromium-browser", "google-chrome") if (b := shutil.which(n))), None)
    if browser is None:
        print("no Chromium here: the picture of the gallery stays as it is")
        return
    with TemporaryDirectory() as folder:
        ran = run_family(Asked(str(ROOT / "recipes" / "families" / "allotments.yaml"), out=folder))
        shot = Path(folder) / "gallery.png"
        flags = ["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--window-size=1280,1150"]
        page = (ran.folder / "gallery.html").as_uri()
        waits = "--virtual-time-budget=4000"
        subprocess.run([browser, *flags, waits, f"--screenshot={shot}", page], check=True, capture_output=True)
        picture = Image.open(shot).convert("RGB").quantize(128, Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE)
        picture.save(PICTURES / "allotments-gallery.png", optimize=True)


if __name__ == "__main__":
    recipes_shown()
    pictures()
    gallery()
    traces()
