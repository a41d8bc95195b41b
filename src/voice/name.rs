//! Names of voices, as players write them.

/// The words of a name in lower case, signs and spaces dropped, Roman numbers as figures:
/// `Violin II` and `violin-2` are both `violin 2`.
pub(crate) fn words(name: &str) -> Vec<String> {
    let name = name.to_lowercase().replace('♭', " flat");
    let words = name.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(figures).collect()
}

/// A Roman number in figures; any other word as it is.
fn figures(word: &str) -> String {
    let roman = ["i", "ii", "iii", "iv"].iter().position(|&roman| roman == word);
    roman.map_or_else(|| word.to_owned(), |index| (index + 1).to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_the_same_in_every_spelling() {
        let second_violin = ["violin", "2"].map(str::to_owned).to_vec();
        for name in ["Violin II", "VIOLIN 2", "violin-2", " violin (2) "] {
            assert_eq!(words(name), second_violin, "{name}");
        }
        assert_eq!(words("Clarinet in B♭").join(" "), "clarinet in b flat");
        assert!(words(" -- ").is_empty());
    }
}
