//! A text of the file cut to a length that a message can hold.

/// Longest name that is kept, characters: what follows is cut.
pub(super) const NAME: usize = 200;

/// A text cut to what a message can hold.
pub(super) fn shortened(text: &str) -> String {
    if text.is_empty() {
        return "nothing".to_owned();
    }
    match text.char_indices().nth(60) {
        Some((end, _)) => text.get(..end).unwrap_or("").to_owned() + "…",
        None => text.to_owned(),
    }
}
