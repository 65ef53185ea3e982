//! Words in a row.

use std::fmt::Display;

/// `a, b or c`.
///
/// ```
/// assert_eq!(aludel::text::any_of(["a", "b", "c"]), "a, b or c");
/// ```
pub fn any_of(words: impl IntoIterator<Item = impl Display>) -> String {
    joined(words, "or")
}

/// `a, b and c`.
pub fn all_of(words: impl IntoIterator<Item = impl Display>) -> String {
    joined(words, "and")
}

fn joined(words: impl IntoIterator<Item = impl Display>, last: &str) -> String {
    let words: Vec<String> = words.into_iter().map(|word| word.to_string()).collect();
    match words.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., end] => format!("{} {last} {end}", first.join(", ")),
    }
}

/// What would have been understood at a place: `expected a formula or a count here`.
pub fn expected_here(words: &[String]) -> String {
    match words {
        [] => "this is not understood".to_owned(),
        words => format!("expected {} here", any_of(words)),
    }
}
