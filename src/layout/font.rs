//! Letter widths out of a TrueType or OpenType font: advances, pairs that stand closer, and outlines.
//!
//! The file is read on the device and nothing of it is kept but the table and the outlines of the
//! letters sold, of which there is an upper limit: they lie among all else that is kept. A font that is damaged,
//! too large or of another kind is refused with its reason.

mod pen;

use crate::glyph::Glyph;
use crate::lists::style::{Pair, WidthSource};
use crate::lists::{Caps, Widths};
use std::fmt;
use std::sync::Arc;
use ttf_parser::gpos::{PairAdjustment, PositioningSubtable};
use ttf_parser::opentype_layout::LayoutTable;
use ttf_parser::{Face, GlyphId, TableRecord, Tag};

/// The largest file that is read, in bytes.
pub const LARGEST_FILE: usize = 10_000_000;

/// The most points of all outlines of a style: some 80 KB of the 5 MB that a browser keeps.
pub const MOST_POINTS: usize = 8_000;

/// Why a font gives no widths.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FontError {
    /// Larger than [`LARGEST_FILE`].
    TooLarge,
    /// Packed for the web.
    ForTheWeb,
    /// Not a font, or a damaged one; what the reader found.
    Damaged(String),
    /// Not all of it is there.
    CutShort,
    /// It does not say how high its capitals are, and has no H to measure.
    NoHeight,
    /// It has none of the letters asked for.
    NoLetters,
}

impl fmt::Display for FontError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge => write!(f, "this file is larger than 10 MB: fonts of letters are smaller"),
            Self::ForTheWeb => {
                write!(f, "this font is packed for the web (WOFF): take its .ttf or .otf file")
            }
            Self::Damaged(why) => write!(f, "this file cannot be read as a font: {why}"),
            Self::CutShort => write!(f, "this file was cut short on its way: copy it again"),
            Self::NoHeight => write!(f, "this font does not say how high its capitals are"),
            Self::NoLetters => write!(f, "this font has none of the letters that you sell"),
        }
    }
}

impl std::error::Error for FontError {}

/// The widths and outlines of these letters in a font, its pairs among them, and its word space.
///
/// Outlines beyond [`MOST_POINTS`] are left out: those letters are drawn as the built-in ones are.
///
/// A font's advances hold the gaps between its letters already, so the table's gap is none.
///
/// # Errors
/// Says why the file gives no widths.
pub fn read(file: &[u8], glyphs: &[Glyph]) -> Result<Widths, FontError> {
    read_with(file, glyphs, MOST_POINTS)
}

fn read_with(file: &[u8], glyphs: &[Glyph], most_points: usize) -> Result<Widths, FontError> {
    if file.len() > LARGEST_FILE {
        return Err(FontError::TooLarge);
    }
    if file.starts_with(b"wOFF") || file.starts_with(b"wOF2") {
        return Err(FontError::ForTheWeb);
    }
    let face = Face::parse(file, 0).map_err(|why| FontError::Damaged(why.to_string()))?;
    if is_cut_short(&face, file.len()) {
        return Err(FontError::CutShort);
    }
    let height = cap_height(&face).ok_or(FontError::NoHeight)?;
    let share = |units: i64| Caps::ratio(units, height);
    let advance = |id: GlyphId| share(i64::from(face.glyph_hor_advance(id)?));
    let known: Vec<(&Glyph, GlyphId)> =
        glyphs.iter().filter_map(|glyph| Some((glyph, index(&face, glyph)?))).collect();
    let mut widths = Widths {
        source: WidthSource::Font,
        gap: Caps::ZERO,
        space: face.glyph_index(' ').and_then(advance).unwrap_or(Widths::default().space),
        ..Widths::default()
    };
    let mut points = 0;
    for (glyph, id) in &known {
        let Some(width) = advance(*id) else {
            continue;
        };
        widths.letters.insert((*glyph).clone(), width);
        let advance = face.glyph_hor_advance(*id).map_or(0, i64::from);
        if let Some(drawing) = pen::drawing(&face, *id, advance, height)
            && points + drawing.points() <= most_points
        {
            points += drawing.points();
            widths.drawings.insert((*glyph).clone(), Arc::new(drawing));
        }
    }
    if widths.letters.is_empty() {
        return Err(FontError::NoLetters);
    }
    for (left, left_id) in &known {
        for (right, right_id) in &known {
            let units = kerning(&face, *left_id, *right_id);
            if let Some(closer) = share(i64::from(units)).filter(|closer| *closer != Caps::ZERO) {
                widths.pairs.insert(Pair((*left).clone(), (*right).clone()), closer);
            }
        }
    }
    Ok(widths)
}

/// Whether some table of a font would end beyond its file: the reader does without such tables, and
/// letters would lose their pairs or outlines unsaid.
fn is_cut_short(face: &Face, length: usize) -> bool {
    let end = |table: TableRecord| u64::from(table.offset) + u64::from(table.length);
    face.raw_face().table_records.into_iter().any(|table| end(table) > length as u64)
}

/// A glyph of one character; an accented one of several is not looked for.
fn index(face: &Face, glyph: &Glyph) -> Option<GlyphId> {
    let mut characters = glyph.as_str().chars();
    let first = characters.next()?;
    characters.next().is_none().then(|| face.glyph_index(first))?
}

/// In the font's units: as it says, else as high as its H.
fn cap_height(face: &Face) -> Option<i64> {
    let said = face.capital_height().map(i64::from).filter(|height| *height > 0);
    let measured = || {
        let bounds = face.glyph_bounding_box(face.glyph_index('H')?)?;
        Some(i64::from(bounds.y_max)).filter(|height| *height > 0)
    };
    said.or_else(measured)
}

/// How much closer, below zero, two glyphs stand: by the font's positioning table, else by its older
/// kerning table.
fn kerning(face: &Face, left: GlyphId, right: GlyphId) -> i16 {
    let tables = face.tables();
    if let Some(gpos) = &tables.gpos
        && let Some(found) = positioned(gpos, left, right)
    {
        return found;
    }
    let subtables = tables.kern.iter().flat_map(|kern| kern.subtables);
    let plain = subtables.filter(|table| table.horizontal && !table.variable && !table.has_state_machine);
    plain.filter_map(|table| table.glyphs_kerning(left, right)).fold(0, i16::saturating_add)
}

fn positioned(gpos: &LayoutTable, left: GlyphId, right: GlyphId) -> Option<i16> {
    let features = (0..gpos.features.len()).filter_map(|at| gpos.features.get(at));
    let mut lookups: Vec<u16> = features
        .filter(|feature| feature.tag == Tag::from_bytes(b"kern"))
        .flat_map(|feature| feature.lookup_indices)
        .collect();
    lookups.sort_unstable();
    lookups.dedup();
    let mut sum = None;
    for lookup in lookups.into_iter().filter_map(|at| gpos.lookups.get(at)) {
        let mut subtables = lookup.subtables.into_iter::<PositioningSubtable>();
        let found = subtables.find_map(|subtable| match subtable {
            PositioningSubtable::Pair(pairs) => in_pairs(&pairs, left, right),
            _ => None,
        });
        sum = found.map(|found: i16| found.saturating_add(sum.unwrap_or(0))).or(sum);
    }
    sum
}

fn in_pairs(pairs: &PairAdjustment, left: GlyphId, right: GlyphId) -> Option<i16> {
    let (first, _) = match pairs {
        PairAdjustment::Format1 { coverage, sets } => sets.get(coverage.get(left)?)?.get(right)?,
        PairAdjustment::Format2 { coverage, classes, matrix } => {
            coverage.get(left)?;
            matrix.get((classes.0.get(left), classes.1.get(right)))?
        }
    };
    Some(first.x_advance)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const FONTS: [&[u8]; 2] = [
        include_bytes!("../../tests/data/fonts/boxes-gpos.ttf"),
        include_bytes!("../../tests/data/fonts/boxes-kern.ttf"),
    ];

    fn letters() -> Vec<Glyph> {
        ('A'..='Z').chain('0'..='9').filter_map(|c| Glyph::parse(&c.to_string())).collect()
    }

    #[test]
    fn what_is_no_font_is_refused_with_its_reason() {
        assert_eq!(read(b"wOF2....", &letters()), Err(FontError::ForTheWeb));
        assert!(matches!(read(b"", &letters()), Err(FontError::Damaged(_))));
        assert!(matches!(read(b"name,number,size", &letters()), Err(FontError::Damaged(_))));
        assert_eq!(read(&vec![0; LARGEST_FILE + 1], &letters()), Err(FontError::TooLarge));
        assert_eq!(read(FONTS[0], &[Glyph::parse("É").unwrap()]), Err(FontError::NoLetters));
        // Cut anywhere but in the filling behind its last table, it is refused: at 900 bytes its
        // advances are there, its outlines and pairs not.
        for end in [100, 400, 900, FONTS[0].len() - 3] {
            assert!(read(&FONTS[0][..end], &letters()).is_err(), "{end}");
        }
        assert_eq!(read(&FONTS[0][..900], &letters()), Err(FontError::CutShort));
        let tables = Face::parse(FONTS[0], 0).unwrap().raw_face().table_records.into_iter();
        let end = tables.map(|table| (table.offset + table.length) as usize).max().unwrap();
        assert!(read(&FONTS[0][..end], &letters()).is_ok(), "only the filling is cut off");
        assert_eq!(read(&FONTS[0][..end - 1], &letters()), Err(FontError::CutShort));
        assert!(matches!(read(&vec![0; LARGEST_FILE], &letters()), Err(FontError::Damaged(_))));
        assert!(FontError::ForTheWeb.to_string().contains(".ttf or .otf"));
        assert!(FontError::CutShort.to_string().contains("copy it again"));
    }

    #[test]
    fn outlines_beyond_the_most_points_are_left_out_and_no_width() {
        // A box has four points.
        for (most, drawn) in [(144, 36), (143, 35), (15, 3), (16, 4), (3, 0)] {
            let widths = read_with(FONTS[0], &letters(), most).unwrap();
            assert_eq!((widths.drawings.len(), widths.letters.len()), (drawn, 36), "{most}");
        }
    }

    #[test]
    fn both_kinds_of_kerning_give_the_same_table() {
        let [gpos, kern] = FONTS.map(|font| read(font, &letters()).unwrap());
        assert_eq!(gpos, kern);
        assert_eq!((gpos.letters.len(), gpos.pairs.len(), gpos.gap), (36, 20, Caps::ZERO));
        // A letter's box is its outline: see boxes.py.
        assert_eq!(gpos.drawings.len(), 36);
        // 350 of 750 units.
        assert_eq!(gpos.space.to_string(), "0.46667");
    }

    #[test]
    fn kerning_of_another_direction_is_no_pair() {
        // In the older table (ISO/IEC 14496-22, from memory) a subtable's coverage stands eight bytes
        // on; its lowest bit says that it is for lines that run across.
        let mut font = FONTS[1].to_vec();
        let record = font.windows(4).position(|tag| tag == b"kern").unwrap();
        let place = u32::from_be_bytes(font[record + 8..record + 12].try_into().unwrap()) as usize + 8;
        assert_eq!(font[place..place + 2], [0, 1]);
        font[place + 1] = 0;
        assert_eq!(read(&font, &letters()).unwrap().pairs.len(), 0);
    }

    /// A font that says so high a capital in its `OS/2` table, where ISO/IEC 14496-22 (from memory)
    /// has it: 88 bytes on.
    fn with_cap_height(font: &[u8], height: i16) -> Vec<u8> {
        let mut font = font.to_vec();
        let record = font.windows(4).position(|tag| tag == b"OS/2").unwrap();
        let place = u32::from_be_bytes(font[record + 8..record + 12].try_into().unwrap()) as usize + 88;
        font[place..place + 2].copy_from_slice(&height.to_be_bytes());
        font
    }

    #[test]
    fn a_font_that_does_not_say_how_high_its_capitals_are_is_measured() {
        let said = read(FONTS[0], &letters()).unwrap();
        for nothing in [0, -750] {
            assert_eq!(read(&with_cap_height(FONTS[0], nothing), &letters()).unwrap(), said);
        }
        // What it says counts: of twice the height everything is half as wide.
        let twice = read(&with_cap_height(FONTS[0], 1500), &letters()).unwrap();
        assert_eq!(twice.space.to_string(), "0.23333");
        assert_eq!((said.source, twice.source), (WidthSource::Font, WidthSource::Font));
    }

    #[test]
    fn a_font_whose_h_has_no_height_gives_no_widths() {
        let mut font = with_cap_height(FONTS[0], 0);
        let outline = {
            let face = Face::parse(&font, 0).unwrap();
            let offset = |tag: &[u8; 4]| {
                let tables = face.raw_face().table_records.into_iter();
                tables.into_iter().find(|table| table.tag == Tag::from_bytes(tag)).unwrap().offset as usize
            };
            // The index of outlines counts in pairs of bytes (ISO/IEC 14496-22, from memory).
            let place = offset(b"loca") + 2 * usize::from(face.glyph_index('H').unwrap().0);
            let pairs = u16::from_be_bytes(font[place..place + 2].try_into().unwrap());
            offset(b"glyf") + 2 * usize::from(pairs)
        };
        // Of these boxes, where its side goes up and where it comes down again.
        font[outline + 21..outline + 25].fill(0);
        assert_eq!(read(&font, &letters()), Err(FontError::NoHeight));
    }

    proptest! {
        #[test]
        fn no_damage_makes_the_reader_panic(
            font in 0_usize..2,
            changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..8),
            cut in any::<prop::sample::Index>(),
            is_cut in any::<bool>(),
        ) {
            let mut bytes = FONTS[font].to_vec();
            for (at, byte) in changes {
                let at = at.index(bytes.len());
                bytes[at] = byte;
            }
            if is_cut {
                bytes.truncate(cut.index(bytes.len()));
            }
            let _ = read(&bytes, &letters());
        }
    }
}
