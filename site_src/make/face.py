"""The type the site brings along: a condensed sans, cut down to the letters that screens and names need."""

import io
import shutil
from pathlib import Path

from site_src.make.ground import SITE, digest, files_under, stamped, step
from site_src.make.setup import PINS, fetch_npm

PACKAGE = "@fontsource/archivo-narrow"
WEIGHTS = (400, 700)
BASIC = "".join(map(chr, (*range(0x20, 0x7F), *range(0xC0, 0x100)))) + "\u00a0¡§«°±²µ·»¼½¾¿–—‘’‚“”„•…′″‹›€−"
# Of Latin Extended-A and B what the names of people need; the screens say nothing in these.
NAMES = "ĀāĂăĄąĆćČčĎďĐđĒēĖėĘęĚěĞğĠġĢģĦħĪīĮįİĶķĹĺĻļĽľŁłŃńŅņŇňŌōŐőŖŗŘřŚśŞşŠšŢţŤťŨũŪūŮůŰűŲųŸŹźŻżŽžȘșȚț"
SUBSETS = {"": ("latin", BASIC), "-names": ("latin-ext", NAMES)}


def subset(source: Path, letters: str) -> bytes:
    """These letters of a font file as WOFF2, kerned, without hints; the same bytes for the same pins."""
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    font = TTFont(source, recalcTimestamp=False)
    options = Options()
    options.hinting = False
    options.layout_features = ["kern", "mark", "ccmp"]
    options.name_IDs = [0, 13, 14]  # copyright and licence
    options.notdef_outline = True
    options.drop_tables += ["DSIG"]
    cut = Subsetter(options)
    cut.populate(text=letters)
    cut.subset(font)
    missing = sorted(set(map(ord, letters)) - font.getBestCmap().keys())
    if missing:
        raise ValueError(f"{source.name} has no {' '.join(map(chr, missing))}")
    font.flavor = "woff2"
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()


def face_files(stage: Path) -> dict[str, bytes]:
    """type/narrow-WEIGHT[-names].woff2 and the licence; kept till a pin or the letters change."""
    package = fetch_npm() / PACKAGE
    key = digest(Path(__file__), SITE / "package-lock.json", PINS / "requirements-build.txt")
    if not stamped(stage / "key", key):
        shutil.rmtree(stage, ignore_errors=True)
        stage.mkdir(parents=True)
        with step("cutting the type to the letters that are used"):
            for weight in WEIGHTS:
                for name, (part, letters) in SUBSETS.items():
                    source = package / "files" / f"archivo-narrow-{part}-{weight}-normal.woff2"
                    (stage / f"narrow-{weight}{name}.woff2").write_bytes(subset(source, letters))
        shutil.copyfile(package / "LICENSE", stage / "licence.txt")
        (stage / "key").write_text(key)
    return {f"type/{path.name}": path.read_bytes() for path in files_under(stage) if path.name != "key"}
