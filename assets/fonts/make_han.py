#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Makes the Han fonts beside this file: of Noto Sans CJK (Simplified Chinese) exactly what
assets/strings/zh.json writes, and printable ASCII. Run it after a change of that file.

    apt-get install fonts-noto-cjk python3-fonttools
    assets/fonts/make_han.py
"""
import json
import pathlib

from fontTools import subset, ttLib

HERE = pathlib.Path(__file__).parent
SOURCE = pathlib.Path("/usr/share/fonts/opentype/noto")
INTER = "/usr/share/fonts/opentype/inter/Inter-Medium.otf"
FAMILY = "Lastlook Han"


def characters():
    texts = json.loads((HERE.parent / "strings/zh.json").read_text(encoding="utf-8")).values()
    return {ord(c) for text in texts for c in text if c != "\n"} | set(range(0x20, 0x7F))


def simplified_chinese(file):
    for font in ttLib.TTCollection(file).fonts:
        if font["name"].getDebugName(1) == "Noto Sans CJK SC":
            return font
    raise SystemExit(f"{file}: has no Noto Sans CJK SC")


def subset_of(font):
    options = subset.Options(layout_features=[], hinting=False, name_IDs=[0, 1, 2, 4, 6, 13, 14],
                             drop_tables=["BASE", "GPOS", "GSUB", "VORG", "vhea", "vmtx", "DSIG"])
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=characters())
    subsetter.subset(font)
    return font


def rename(font, weight):
    font["name"].names = [n for n in font["name"].names if n.platformID == 3 and n.langID == 0x409]
    names = {1: FAMILY, 2: weight, 4: f"{FAMILY} {weight}", 6: f"LastlookHan-{weight}"}
    for record in font["name"].names:
        if record.nameID in names:
            record.string = names[record.nameID]
    top = font["CFF "].cff.topDictIndex[0]
    top.FullName, top.FamilyName = names[4], FAMILY
    font["CFF "].cff.fontNames[0] = names[6]


def stand_like_inter(font):
    """Type is sized by ascender to descender: with Inter's, a Han letter is as large as its em."""
    inter = ttLib.TTFont(INTER)
    scale = font["head"].unitsPerEm / inter["head"].unitsPerEm
    for name in ("ascent", "descent", "lineGap"):
        setattr(font["hhea"], name, round(getattr(inter["hhea"], name) * scale))
    font["OS/2"].sTypoAscender, font["OS/2"].sTypoDescender = font["hhea"].ascent, font["hhea"].descent
    font["OS/2"].usWinAscent, font["OS/2"].usWinDescent = font["hhea"].ascent, -font["hhea"].descent


for weight in ("Regular", "Bold"):
    font = subset_of(simplified_chinese(SOURCE / f"NotoSansCJK-{weight}.ttc"))
    rename(font, weight)
    stand_like_inter(font)
    font["head"].modified = font["head"].created  # the same file whenever it is made
    font.recalcTimestamp = False
    font.save(HERE / f"LastlookHan-{weight}.otf")
