//! A mail address and a telephone number out of what a shop wrote under "Contact".

/// The first mail address in a text.
///
/// ```
/// use lettertally::quote::contact::mail;
/// assert_eq!(mail("call, or hello@pier.example."), Some("hello@pier.example"));
/// assert_eq!(mail("at the market @ noon"), None);
/// ```
pub fn mail(text: &str) -> Option<&str> {
    let ends = |c: char| c.is_whitespace() || matches!(c, ',' | ';' | '<' | '>' | '(' | ')' | ':');
    let is_plain = |c: char| c.is_ascii_alphanumeric() || "@.-_+".contains(c);
    text.split(ends).map(|word| word.trim_matches('.')).find(|word| {
        let parts = word.split_once('@');
        parts.is_some_and(|(who, host)| !who.is_empty() && host.contains('.') && !host.contains('@'))
            && word.chars().all(is_plain)
    })
}

/// The first telephone number in a text: seven to fifteen digits, with a plus where it has one.
///
/// ```
/// use lettertally::quote::contact::telephone;
/// assert_eq!(telephone("Pier 4, tel. +1 (555) 555-0142").as_deref(), Some("+15555550142"));
/// assert_eq!(telephone("since 1999, Pier 4"), None);
/// ```
pub fn telephone(text: &str) -> Option<String> {
    let is_part = |c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | '(' | ')' | '/' | ' ');
    text.split(|c| !is_part(c)).find_map(|run| {
        // A plus begins a number; what stands before it is something else.
        let run = run.rfind('+').map_or(run, |at| &run[at..]);
        let digits: String = run.chars().filter(|c| c.is_ascii_digit() || *c == '+').collect();
        let count = digits.bytes().filter(u8::is_ascii_digit).count();
        // Fifteen digits are the most by ITU-T E.164 (from memory).
        (7..=15).contains(&count).then_some(digits)
    })
}
