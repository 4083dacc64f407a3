//! A file without the white space that is there for people.

/// `text`, a JSON document, without white space between its words.
pub(super) fn without_space(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut quoted = false;
    let mut escaped = false;
    for letter in text.chars() {
        if quoted {
            quoted = escaped || letter != '"';
            escaped = !escaped && letter == '\\';
        } else {
            quoted = letter == '"';
            if matches!(letter, ' ' | '\n' | '\r' | '\t') {
                continue;
            }
        }
        out.push(letter);
    }
    out
}
