use crate::text::neutral;

/// Text as a page shows it: harmless, with the sign that terminals are spared.
pub fn typeset(text: &str) -> String {
    neutral(text).replace(" +- ", " \u{b1} ")
}

/// Words with a capital letter at their start.
pub fn capital(words: &str) -> String {
    let mut words = words.to_owned();
    if let Some(letter) = words.get_mut(0..1) {
        letter.make_ascii_uppercase();
    }
    words
}
