//! Short codes that are read out: on the telephone, over a counter.
//!
//! Owns the alphabet, the check letter and the form of a code. The alphabet has no two signs that
//! look alike (no 0 and O, no 1, I and L); the last letter is a check on the others, so that one
//! letter misheard, or two that changed places, never give another code.

use std::fmt;

/// The signs of a code. There are 31, a prime number, which the check needs.
const SIGNS: &[u8; 31] = b"23456789ABCDEFGHJKMNPQRSTUVWXYZ";
const BASE: u64 = 31;

/// How many signs a code has, the check included.
pub const LENGTH: usize = 8;

/// A code.
///
/// ```
/// use lettertally::quote::code::Code;
/// let code = Code::of(123_456_789);
/// assert_eq!(Code::parse(&code.to_string()), Ok(code));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Code([u8; LENGTH]);

/// Why a text is no code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CodeError {
    /// Too few or too many signs.
    Length {
        /// How many there are.
        has: usize,
    },
    /// A sign that no code has.
    Sign(char),
    /// A sign was misheard or mistyped.
    Check,
}

impl fmt::Display for CodeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Length { has } => {
                write!(f, "a code has {LENGTH} letters and digits, here are {has}: ask for it again")
            }
            Self::Sign(sign) => {
                write!(f, "“{sign}” is in no code (nor are 0, 1, I, L and O): ask for it again")
            }
            Self::Check => write!(f, "one letter is wrong, or two changed places: ask for it again"),
        }
    }
}

impl std::error::Error for CodeError {}

impl Code {
    /// The code of a number; numbers that differ by a multiple of 31 to the 7th have the same.
    pub fn of(mut number: u64) -> Self {
        let mut code = [0; LENGTH];
        for sign in code[..LENGTH - 1].iter_mut().rev() {
            *sign = (number % BASE) as u8;
            number /= BASE;
        }
        code[LENGTH - 1] = check(&code);
        Self(code)
    }

    /// Reads a code however it is spaced and written.
    ///
    /// # Errors
    /// Says what is wrong with it.
    pub fn parse(text: &str) -> Result<Self, CodeError> {
        let signs = text.chars().filter(|sign| !sign.is_whitespace() && !matches!(sign, '-' | '.' | ','));
        let mut code = Vec::with_capacity(LENGTH);
        for sign in signs {
            let upper = sign.to_ascii_uppercase();
            let at = SIGNS.iter().position(|known| char::from(*known) == upper);
            code.push(at.and_then(|at| u8::try_from(at).ok()).ok_or(CodeError::Sign(sign))?);
        }
        let has = code.len();
        let code: [u8; LENGTH] = code.try_into().map_err(|_| CodeError::Length { has })?;
        if code[LENGTH - 1] == check(&code) { Ok(Self(code)) } else { Err(CodeError::Check) }
    }
}

/// The check on all but the last sign: their sum modulo 31, each times its place. As 31 is prime
/// and larger than any place, one changed sign and two exchanged ones change it.
fn check(code: &[u8; LENGTH]) -> u8 {
    let places = code[..LENGTH - 1].iter().zip(2_u64..);
    let sum: u64 = places.map(|(sign, place)| place * u64::from(*sign)).sum();
    (sum % BASE) as u8
}

/// Some signs of the alphabet for a number, without a check.
pub fn signs(mut number: u64, count: usize) -> String {
    let mut signs = String::new();
    for _ in 0..count {
        signs.push(char::from(SIGNS[(number % BASE) as usize]));
        number /= BASE;
    }
    signs
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, sign) in self.0.iter().enumerate() {
            if at == LENGTH / 2 {
                f.write_str("-")?;
            }
            write!(f, "{}", char::from(SIGNS[usize::from(*sign)]))?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_code_is_read_however_it_is_written_and_complains_in_words() {
        let code = Code::of(987_654_321);
        let text = code.to_string();
        assert_eq!(text.len(), LENGTH + 1);
        for written in [text.to_lowercase(), text.replace('-', ""), format!(" {} ", text.replace('-', " - "))]
        {
            assert_eq!(Code::parse(&written), Ok(code), "{written}");
        }
        assert_eq!(Code::parse("2222"), Err(CodeError::Length { has: 4 }));
        assert_eq!(Code::parse("O222-2222"), Err(CodeError::Sign('O')));
        assert_eq!(Code::parse("2222-2223"), Err(CodeError::Check));
    }

    proptest! {
        #[test]
        fn one_wrong_sign_or_two_exchanged_are_noticed(number in any::<u64>(), at in 0..LENGTH, other in 0..31_u8) {
            let code = Code::of(number);
            let mut wrong = code.0;
            wrong[at] = other;
            let text = |signs: [u8; LENGTH]| Code(signs).to_string();
            prop_assert_eq!(Code::parse(&text(wrong)).is_ok(), wrong == code.0);
            let mut exchanged = code.0;
            exchanged.swap(at, (at + 1) % LENGTH);
            if (at + 1) < LENGTH {
                prop_assert_eq!(Code::parse(&text(exchanged)).is_ok(), exchanged == code.0);
            }
        }

        #[test]
        fn no_text_makes_the_reader_panic(text in "\\PC{0,20}") {
            let _ = Code::parse(&text);
        }
    }
}
