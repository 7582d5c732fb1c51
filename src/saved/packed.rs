//! Records of orders that are over, packed: so that thousands of them fit into a browser's storage.
//!
//! Owns the packed form: raw deflate (RFC 1951) that may refer back to a sample record that every
//! page has, as base64. A record of an order repeats what is in every other one, its field names,
//! ids of lists, the shape of its facts; the sample has all of that, so that little more is written
//! than what tells this order from others. An order that is open again is written plain again.

use base64::Engine;
use base64::engine::general_purpose::STANDARD_NO_PAD;
use miniz_oxide::deflate::core::create_comp_flags_from_zip_params;
use miniz_oxide::deflate::core::{CompressorOxide, TDEFLFlush, TDEFLStatus, compress_to_output};
use miniz_oxide::inflate::TINFLStatus;
use miniz_oxide::inflate::core::inflate_flags::TINFL_FLAG_USING_NON_WRAPPING_OUTPUT_BUF;
use miniz_oxide::inflate::core::{DecompressorOxide, decompress};

/// The sample of packings that begin with "1.". Never changed: what was packed with it is read
/// with it.
const SAMPLE: &str = include_str!("packed/sample_1.json");

/// The longest text that is packed or unpacked, in bytes: far more than an order takes.
const LONGEST: usize = 1 << 20;

/// A text in its packed form: the number of the sample, how long the text is, and its bytes;
/// `None` where that is not shorter.
///
/// ```
/// use lettertally::saved::packed::{pack, unpack};
/// let text = r#"{"order":{"id":"a","title":"Marsh Otters","designs":[]}}"#.repeat(9);
/// let packed = pack(&text).unwrap();
/// assert!(packed.len() < text.len() / 4);
/// assert_eq!(unpack(&packed), Some(text));
/// ```
pub fn pack(text: &str) -> Option<String> {
    if text.len() > LONGEST {
        return None;
    }
    let mut compressor = CompressorOxide::new(create_comp_flags_from_zip_params(9, -15, 0));
    // The sample goes in first and what comes out of it is dropped: the text may refer back to it.
    let (status, _) = compress_to_output(&mut compressor, sample(), TDEFLFlush::Sync, |_| true);
    if status != TDEFLStatus::Okay {
        return None;
    }
    let mut bytes = Vec::new();
    let (status, _) = compress_to_output(&mut compressor, text.as_bytes(), TDEFLFlush::Finish, |part| {
        bytes.extend_from_slice(part);
        true
    });
    let packed = format!("1.{}.{}", text.len(), STANDARD_NO_PAD.encode(bytes));
    (status == TDEFLStatus::Done && packed.len() < text.len()).then_some(packed)
}

/// A text from its packed form; `None` where it is damaged.
pub fn unpack(packed: &str) -> Option<String> {
    let (length, code) = packed.strip_prefix("1.")?.split_once('.')?;
    let length = length.parse::<usize>().ok().filter(|length| *length <= LONGEST)?;
    let bytes = STANDARD_NO_PAD.decode(code).ok()?;
    let from = sample().len();
    let mut text = Vec::with_capacity(from + length);
    text.extend_from_slice(sample());
    text.resize(from + length, 0);
    let mut inflater = Box::<DecompressorOxide>::default();
    let flags = TINFL_FLAG_USING_NON_WRAPPING_OUTPUT_BUF;
    let (status, read, written) = decompress(&mut inflater, &bytes, &mut text, from, flags);
    if status != TINFLStatus::Done || read != bytes.len() || written != length {
        return None;
    }
    String::from_utf8(text.split_off(from)).ok()
}

fn sample() -> &'static [u8] {
    SAMPLE.as_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn what_is_packed_comes_out_as_it_was(text in "\\PC{0,400}", times in 1_usize..6) {
            let text = text.repeat(times);
            if let Some(packed) = pack(&text) {
                prop_assert_eq!(unpack(&packed), Some(text));
            }
        }

        #[test]
        fn what_is_damaged_is_never_taken_for_another_length(at in 0_usize..200, with in any::<char>()) {
            let text = SAMPLE.replace("white", "gold");
            let packed = pack(&text).unwrap();
            let mut damaged: Vec<char> = packed.chars().collect();
            let place = at % damaged.len();
            damaged[place] = with;
            let damaged: String = damaged.into_iter().collect();
            if let Some(read) = unpack(&damaged) {
                prop_assert_eq!(read.len(), text.len());
            }
        }
    }

    #[test]
    fn a_packing_of_version_1_is_read_for_good() {
        // Packed by this module on 2026-11-28; a change of the sample would make it unreadable.
        let packed = include_str!("packed/example_1.txt").trim();
        assert!(unpack(packed).unwrap().contains("\"title\":\"WREN 7\""));
    }
}
