"""Makes boxes-gpos.ttf and boxes-kern.ttf: fonts of plain boxes for the tests of the font reader.

The advances are the first column of advances.csv, the pairs those of tests/letter_widths.rs; cap
height 750 of 1000 units. Needs fontTools (made with 4.68.0): python3 boxes.py
"""
import csv, pathlib
from fontTools.fontBuilder import FontBuilder
from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import newTable
from fontTools.ttLib.tables._k_e_r_n import KernTable_format_0

here = pathlib.Path(__file__).parent
rows = list(csv.reader(open(here / "advances.csv")))[1:]
advances = {row[0]: int(row[1]) for row in rows}
pairs = {"AT": -30, "AV": -50, "AW": -50, "AY": -60, "FA": -50, "FJ": -60, "LT": -50, "LV": -70, "LW": -70,
         "NA": -30, "PA": -45, "PJ": -30, "TA": -30, "TJ": -50, "VA": -50, "VJ": -40, "WA": -50, "WJ": -40,
         "YA": -60, "YJ": -60}


def name(sign):
    return "g" + sign


def box(advance):
    pen = TTGlyphPen(None)
    pen.moveTo((20, 0)); pen.lineTo((20, 750)); pen.lineTo((advance - 20, 750)); pen.lineTo((advance - 20, 0))
    pen.closePath()
    return pen.glyph()


for kind in ("gpos", "kern"):
    builder = FontBuilder(1000, isTTF=True)
    glyphs = [".notdef", "space"] + [name(sign) for sign in advances]
    builder.setupGlyphOrder(glyphs)
    builder.setupCharacterMap({ord(" "): "space", **{ord(sign): name(sign) for sign in advances}})
    empty = TTGlyphPen(None).glyph()
    builder.setupGlyf({".notdef": empty, "space": empty, **{name(s): box(a) for s, a in advances.items()}})
    builder.setupHorizontalMetrics({".notdef": (500, 0), "space": (350, 0), **{name(s): (a, 20) for s, a in advances.items()}})
    builder.setupHorizontalHeader(ascent=950, descent=-190)
    builder.setupOS2(sCapHeight=750, sTypoAscender=950, sTypoDescender=-190)
    builder.setupNameTable({"familyName": "Boxes", "styleName": "Regular"})
    builder.setupPost()
    builder.font["head"].created = builder.font["head"].modified = 0
    builder.font.recalcTimestamp = False
    if kind == "gpos":
        rules = "\n".join(f"pos {name(p[0])} {name(p[1])} {v};" for p, v in pairs.items())
        addOpenTypeFeaturesFromString(builder.font, "feature kern {\n" + rules + "\n} kern;")
    else:
        table = newTable("kern"); table.version = 0
        sub = KernTable_format_0(); sub.coverage = 1; sub.version = 0; sub.apple = False
        sub.kernTable = {(name(p[0]), name(p[1])): v for p, v in pairs.items()}
        table.kernTables = [sub]
        builder.font["kern"] = table
    builder.save(here / f"boxes-{kind}.ttf")
