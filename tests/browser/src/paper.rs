//! What a printed document draws, read out of its PDF: lines and curves in millimetres.
//!
//! Reads as much of PDF 1.7 (ISO 32000-1, its operators from memory) as the browser writes: streams
//! packed with zlib, and the operators of paths and of the coordinate system.

use miniz_oxide::inflate::decompress_to_vec_zlib;

/// A row of points in millimetres, from the paper's upper left corner.
pub type Stroke = Vec<(f64, f64)>;

const MM_PER_POINT: f64 = 25.4 / 72.0;

/// The strokes of each page, for paper of this height in millimetres.
pub fn strokes(document: &[u8], height: f64) -> Vec<Vec<Stroke>> {
    streams(document).iter().filter_map(|text| page(text, height)).filter(|page| !page.is_empty()).collect()
}

/// How many pages a document has.
pub fn pages(document: &[u8]) -> usize {
    let text = String::from_utf8_lossy(document);
    // Each page says so on a line of its own; their list says Pages.
    text.lines().filter(|line| line.trim_end().ends_with("/Type /Page")).count()
}

/// Every packed stream that opens.
fn streams(document: &[u8]) -> Vec<String> {
    let mut found = Vec::new();
    let mut from = 0;
    while let Some(at) = find(document, b"stream", from) {
        let mut begin = at + b"stream".len();
        while matches!(document.get(begin), Some(b'\r' | b'\n')) {
            begin += 1;
        }
        let end = find(document, b"endstream", begin).unwrap_or(document.len());
        if let Ok(bytes) = decompress_to_vec_zlib(&document[begin..end]) {
            found.push(String::from_utf8_lossy(&bytes).into_owned());
        }
        from = end + b"endstream".len();
    }
    found
}

fn find(bytes: &[u8], what: &[u8], from: usize) -> Option<usize> {
    let rest = bytes.get(from..)?;
    rest.windows(what.len()).position(|window| window == what).map(|at| at + from)
}

type Matrix = [f64; 6];

fn times(a: Matrix, b: Matrix) -> Matrix {
    [
        a[0] * b[0] + a[1] * b[2],
        a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2],
        a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4],
        a[4] * b[1] + a[5] * b[3] + b[5],
    ]
}

/// The strokes of one page's program; `None` of a stream that draws no path.
fn page(text: &str, height: f64) -> Option<Vec<Stroke>> {
    if !text.contains(" cm") {
        return None;
    }
    let mut now: Matrix = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
    let mut kept: Vec<Matrix> = Vec::new();
    let mut numbers: Vec<f64> = Vec::new();
    let (mut found, mut stroke): (Vec<Stroke>, Stroke) = (Vec::new(), Vec::new());
    for word in text.split_ascii_whitespace() {
        if let Ok(number) = word.parse::<f64>() {
            numbers.push(number);
            continue;
        }
        let place = |x: f64, y: f64| {
            let (across, up) = (x * now[0] + y * now[2] + now[4], x * now[1] + y * now[3] + now[5]);
            (across * MM_PER_POINT, height - up * MM_PER_POINT)
        };
        match (word, numbers.as_slice()) {
            ("q", _) => kept.push(now),
            ("Q", _) => now = kept.pop().unwrap_or(now),
            ("cm", &[a, b, c, d, e, f]) => now = times([a, b, c, d, e, f], now),
            ("m", &[x, y]) => {
                found.push(std::mem::replace(&mut stroke, vec![place(x, y)]));
            }
            ("l", &[x, y]) => stroke.push(place(x, y)),
            ("c", &[.., x, y]) => stroke.push(place(x, y)),
            ("S" | "s" | "f" | "f*" | "B" | "n" | "h", _) if word != "h" => {
                let whole = std::mem::take(&mut stroke);
                if word != "n" {
                    found.push(whole);
                }
            }
            _ => {}
        }
        numbers.clear();
    }
    found.retain(|stroke| stroke.len() > 1);
    Some(found)
}
