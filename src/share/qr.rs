//! A link as a QR code (ISO/IEC 18004, as the crate `qrcodegen` makes it).
//!
//! Owns how robust a code is made and its drawing. Never knows the screen's colours: a code is
//! black on white, with its quiet zone, wherever it stands.

use qrcodegen::{QrCode, QrCodeEcc, QrSegment, Version};

/// The light edge that a reader needs around a code, in modules (from memory of the standard).
pub const QUIET: i32 = 4;

/// The largest code that is made with more than the least error correction, by version: 77 modules
/// across, each still some four points on a phone that is held to another one (an estimate, no
/// source: 360 points over 85 modules). Longer links take the least correction instead of finer modules.
const ROBUST: u8 = 15;

/// The largest code that is printed on a quote, by version: on 45 mm its modules are half a
/// millimetre.
const PRINTED: u8 = 15;

/// A code to draw.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Qr {
    /// How many modules across, quiet zone included.
    pub across: i32,
    /// The dark modules as the path of an SVG, a module being one unit.
    pub path: String,
    /// Whether it can also be read from paper.
    pub for_paper: bool,
}

/// The code of a text; `None` where it is longer than any code holds (2,953 bytes).
///
/// ```
/// use lettertally::share::qr::qr;
/// assert_eq!(qr("https://shop.example/#quote=2").unwrap().across, 29 + 8);
/// assert_eq!(qr(&"x".repeat(2_954)), None);
/// ```
pub fn qr(text: &str) -> Option<Qr> {
    let segments = [QrSegment::make_bytes(text.as_bytes())];
    let most = Version::new(ROBUST);
    // Within its version a code takes the best correction that fits.
    let robust =
        QrCode::encode_segments_advanced(&segments, QrCodeEcc::Medium, Version::MIN, most, None, true);
    let code = robust.or_else(|_| {
        QrCode::encode_segments_advanced(&segments, QrCodeEcc::Low, Version::MIN, Version::MAX, None, true)
    });
    let code = code.ok()?;
    Some(Qr {
        across: code.size() + 2 * QUIET,
        path: path(&code),
        for_paper: code.version().value() <= PRINTED,
    })
}

/// One stroke for each run of dark modules in a row.
fn path(code: &QrCode) -> String {
    let size = code.size();
    let mut path = String::new();
    for y in 0..size {
        let mut x = 0;
        while x < size {
            let run = (x..size).take_while(|x| code.get_module(*x, y)).count() as i32;
            if run > 0 {
                path.push_str(&format!("M{} {}h{run}v1h-{run}z", x + QUIET, y + QUIET));
            }
            x += run + 1;
        }
    }
    path
}
