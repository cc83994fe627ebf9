"""Subsets the Source fonts, renames them and writes the table of advance widths.

The licence reserves the name "Source" for the originals, so the subsets bear names of their own.
Called by fonts.sh with the folder of the originals and the report crate's folder.
"""

import sys
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

ORIGINALS, CRATE = Path(sys.argv[1]), Path(sys.argv[2])

FACES = [
    ("source-sans-3/400Regular/SourceSans3_400Regular.ttf", "Wakewright Sans", "Regular", "sans-regular"),
    ("source-sans-3/600SemiBold/SourceSans3_600SemiBold.ttf", "Wakewright Sans", "SemiBold", "sans-semibold"),
    ("source-serif-4/400Regular/SourceSerif4_400Regular.ttf", "Wakewright Serif", "Regular", "serif-regular"),
    ("source-serif-4/600SemiBold/SourceSerif4_600SemiBold.ttf", "Wakewright Serif", "SemiBold", "serif-semibold"),
]
LATIN = [*range(0x20, 0x7F), *range(0xA0, 0x180)]
SYMBOLS = [ord(c) for c in "ΔΩηλμρ–—‘’‚“”„†‡•…′″€←↑→↓−≈≠≤≥√₀₁₂₃₄₅⁰⁴⁵⁶⁻∞◆✓✗"]
# The default figures of both families are tabular and lining; no figure feature has to be kept.
FEATURES = ["kern", "ccmp", "locl"]


def rename(font, family, style):
    names = font["name"]
    postscript = f"{family.replace(' ', '')}-{style}"
    copyright_text = names.getDebugName(0)
    version = names.getDebugName(5)
    names.names = []
    for name_id, text in [
        (0, copyright_text),
        (1, family if style == "Regular" else f"{family} {style}"),
        (2, "Regular"),
        (3, f"{postscript}; subset of {version}"),
        (4, f"{family} {style}"),
        (5, version),
        (6, postscript),
        (13, "This Font Software is licensed under the SIL Open Font License, Version 1.1."),
        (14, "https://openfontlicense.org"),
        (16, family),
        (17, style),
    ]:
        names.setName(text, name_id, 3, 1, 0x409)


widths = {}
for source, family, style, out in FACES:
    font = TTFont(ORIGINALS / source, recalcTimestamp=False)
    options = subset.Options(layout_features=FEATURES, name_IDs=["*"], hinting=False, desubroutinize=True)
    options.notdef_outline = True
    worker = subset.Subsetter(options)
    worker.populate(unicodes=LATIN + SYMBOLS)
    worker.subset(font)
    rename(font, family, style)
    assert font["head"].unitsPerEm == 1000
    cmap, advance = font.getBestCmap(), font["hmtx"]
    widths[out] = {code: advance[name][0] for code, name in sorted(cmap.items())}
    font.save(CRATE / "fonts" / f"{out}.ttf")
    font.flavor = "woff2"
    font.save(CRATE / "fonts" / f"{out}.woff2")

lines = [
    "//! Advance widths of the embedded fonts, in thousandths of the type size, by code point.",
    "//! Written by `scripts/fonts.py` when the fonts are subset; not for editing by hand.",
    "",
]
for out, table in widths.items():
    const = out.upper().replace("-", "_")
    lines.append(f"/// Code point and advance width of {out}, in order of code point.")
    lines.append("#[rustfmt::skip]")
    lines.append(f"pub(super) const {const}: &[(u16, u16)] = &[")
    row = []
    for code, width in table.items():
        row.append(f"({code}, {width}),")
        if len(row) == 9:
            lines.append("    " + " ".join(row))
            row = []
    if row:
        lines.append("    " + " ".join(row))
    lines += ["];", ""]
(CRATE / "src/font_widths.rs").write_text("\n".join(lines[:-1]) + "\n")
for path in sorted((CRATE / "fonts").glob("*.*f*")):
    print(path.name, path.stat().st_size)
