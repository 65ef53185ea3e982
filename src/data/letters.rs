// What the letters of a formula say without reading it. `build.rs` takes this file in as well, so that tables and
// look-ups go by the same words.

/// The elements that a formula names, each once, in the order of the alphabet: `Al H O` for `Al(OH)3`.
pub fn elements_named(formula: &str) -> String {
    let bytes = formula.as_bytes();
    let capital = |at: &usize| bytes[*at].is_ascii_uppercase();
    let symbol = |at: usize| {
        let small = bytes.get(at + 1).is_some_and(u8::is_ascii_lowercase);
        &formula[at..at + 1 + usize::from(small)]
    };
    let mut symbols: Vec<&str> = (0..bytes.len()).filter(capital).map(symbol).collect();
    symbols.sort_unstable();
    symbols.dedup();
    symbols.join(" ")
}
