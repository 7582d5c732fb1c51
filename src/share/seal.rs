//! The envelope of what a link carries: its length, a check on its meaning, its packed contents.
//!
//! `<length>.<contents>`: the contents are base64url without padding (RFC 4648, section 5), the
//! length is theirs in characters, so that a link that was cut short can be told from one that was
//! changed. Their first four bytes are the check: the first four of the SHA-256 of all texts that
//! the link says, packed or readable, each ended by the byte FF.

use super::LinkError;
use super::dense::{Kind, Packer};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use sha2::{Digest, Sha256};

/// How many bytes of the hash are the check.
const CHECK: usize = 4;

/// Takes up texts, packed or only counted in, and seals them.
#[derive(Default)]
pub struct Sealer {
    packer: Packer,
    hash: Sha256,
}

/// What was sealed.
pub struct Sealed {
    /// `<length>.<contents>`.
    pub code: String,
    /// The SHA-256 of everything in it.
    pub digest: [u8; 32],
}

impl Sealer {
    /// Adds a text to the packed ones.
    pub fn text(&mut self, kind: Kind, text: &str) {
        self.packer.text(kind, text);
        self.readable(text);
    }

    /// Counts in a text that stands in the link elsewhere.
    pub fn readable(&mut self, text: &str) {
        self.hash.update(text.as_bytes());
        self.hash.update([0xff]);
    }

    /// Seals everything.
    pub fn finish(self) -> Sealed {
        let digest: [u8; 32] = self.hash.finalize().into();
        let mut bytes = digest[..CHECK].to_vec();
        bytes.extend(self.packer.finish());
        let contents = URL_SAFE_NO_PAD.encode(bytes);
        Sealed { code: format!("{}.{contents}", contents.len()), digest }
    }
}

/// The contents of `<length>.<contents>`, if they are as long as they were made.
///
/// # Errors
/// They are shorter, or longer, or there is no length.
pub fn whole(rest: &str) -> Result<&str, LinkError> {
    let (length, contents) = rest.split_once('.').ok_or(LinkError::Damaged)?;
    let length: usize = length.parse().map_err(|_| LinkError::Damaged)?;
    match contents.len() {
        has if has < length => Err(LinkError::CutShort { has, of: length }),
        has if has > length => Err(LinkError::Damaged),
        _ => Ok(contents),
    }
}

/// The packed texts of `<length>.<contents>`. The check is not looked at: who reads them seals
/// again what was read, and compares everything.
///
/// # Errors
/// The contents are not whole.
pub fn packed(rest: &str) -> Result<Vec<u8>, LinkError> {
    let bytes = URL_SAFE_NO_PAD.decode(whole(rest)?).map_err(|_| LinkError::Damaged)?;
    bytes.get(CHECK..).map(<[u8]>::to_vec).ok_or(LinkError::Damaged)
}
