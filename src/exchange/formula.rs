//! Cells that a spreadsheet would run.
//!
//! Owns the one rule by which such a cell is made harmless and comes back unchanged. "-" and "+"
//! are letters here, so that many a cell begins with one.

/// Whether a spreadsheet may take a cell for a formula: by its first sign, white space aside. The
/// signs are those that the OWASP page "CSV Injection" names (from memory), full-width forms
/// included; an apostrophe is with them so that what is written can be read back.
fn may_run(cell: &str) -> bool {
    const SIGNS: [char; 12] = ['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠', '\''];
    let begins = cell.trim_start();
    begins.starts_with(SIGNS) || cell[..cell.len() - begins.len()].contains(SIGNS)
}

/// The cell with an apostrophe before it where a spreadsheet might run it.
///
/// ```
/// use lettertally::exchange::formula::{harmless, restore};
/// assert_eq!(harmless("=1+1"), "'=1+1");
/// assert_eq!(harmless("A-Z"), "A-Z");
/// assert_eq!(restore("'=1+1"), "=1+1");
/// assert_eq!(restore(&harmless("'90s block")), "'90s block");
/// ```
pub fn harmless(cell: &str) -> String {
    if may_run(cell) { format!("'{cell}") } else { cell.to_owned() }
}

/// The cell as it was before [`harmless`]; one that was never made harmless stays as it is.
pub fn restore(cell: &str) -> &str {
    cell.strip_prefix('\'').filter(|rest| may_run(rest)).unwrap_or(cell)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn every_sign_that_runs_is_made_harmless() {
        for sign in ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"] {
            for cell in [sign.to_owned(), format!("{sign}A1"), format!("  {sign}A1")] {
                assert!(harmless(&cell).starts_with('\''), "{cell:?}");
            }
        }
        assert_eq!(restore("'90s"), "'90s");
    }

    proptest! {
        #[test]
        fn every_cell_comes_back(cell in "['=+@ \t\r\n＝－A-]{0,6}|\\PC{0,20}") {
            let written = harmless(&cell);
            prop_assert_eq!(restore(&written), &cell);
            prop_assert!(!may_run(&written) || written.starts_with('\''));
        }
    }
}
