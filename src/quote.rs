//! Texts as error messages quote them: no longer than a reader can use.

/// The most characters of a hostile or mistaken text that a message repeats.
const LONGEST: usize = 40;

/// The text; of a long one its beginning and an ellipsis.
pub(crate) fn excerpt(text: &str) -> String {
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::excerpt;

    #[test]
    fn short_text_is_quoted_whole() {
        assert_eq!(excerpt("H4"), "H4");
        assert_eq!(excerpt(&"♯".repeat(40)), "♯".repeat(40));
    }

    #[test]
    fn long_text_is_cut_between_characters() {
        assert_eq!(excerpt(&"♯".repeat(1_000_000)), "♯".repeat(40) + "…");
    }
}
