//! A roster's text as cells: which character parts them, and how a row is written among them.

/// Adds a row at the end of a roster's text, parted as the text is.
///
/// ```
/// use lettertally::order::roster::add_row;
/// let mut text = "name;no\nAsh;7".to_owned();
/// add_row(&mut text, &["Birch; Jr", "8"]);
/// assert_eq!(text, "name;no\nAsh;7\n\"Birch; Jr\";8\n");
/// ```
pub fn add_row(text: &mut String, cells: &[&str]) {
    let row = write_row(cells, separator(text));
    if !text.is_empty() && !text.ends_with('\n') {
        text.push('\n');
    }
    text.push_str(&row);
    text.push('\n');
}

/// A row's text, with cells quoted where they must be.
///
/// A cell with any separator in it is quoted, or the text would be read with that one from then on.
pub fn write_row(cells: &[&str], separator: char) -> String {
    let quoted = |cell: &&str| {
        let needs = cell.contains(['\t', ';', ',', '"', '\n', '\r']);
        if needs { format!("\"{}\"", cell.replace('"', "\"\"")) } else { (*cell).to_owned() }
    };
    cells.iter().map(quoted).collect::<Vec<_>>().join(&separator.to_string())
}

/// The character that parts the cells of this text.
///
/// A tab wins, since nobody types one by chance; then a semicolon, since a text that uses it
/// may have commas inside its cells; else a comma. What stands in quotation marks is no separator; a
/// mark within a cell, as of an inch, opens none.
///
/// ```
/// use lettertally::order::roster::separator;
/// assert_eq!(separator("name,size\n\"Ash; Jr\",M"), ',');
/// assert_eq!(separator("5\" name;size"), ';');
/// ```
pub fn separator(text: &str) -> char {
    let (mut is_quoted, mut may_open, mut found) = (false, true, ',');
    for sign in text.chars() {
        let turns = sign == '"' && (is_quoted || may_open);
        match sign {
            _ if turns => is_quoted = !is_quoted,
            '\t' if !is_quoted => return '\t',
            ';' if !is_quoted => found = ';',
            _ => {}
        }
        // After a mark that closes, another is one of the cell's own: it opens again.
        may_open = turns || matches!(sign, '\t' | ';' | ',' | '\n' | '\r');
    }
    found
}
