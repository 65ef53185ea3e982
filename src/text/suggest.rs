//! Which known name somebody may have meant.

/// The nearest of `known` to `word`; `None` where even the nearest would be far-fetched: more than one slip in three
/// letters, counting a swap of neighbours as one.
///
/// ```
/// use aludel::text::near;
/// assert_eq!(near("flsk", ["beaker", "flask"]), Some("flask"));
/// assert_eq!(near("funnel", ["beaker", "flask"]), None);
/// ```
pub fn near<'k>(word: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let letters = word.chars().count();
    if letters > 64 {
        return None;
    }
    let slips_allowed = (letters / 3).clamp(1, 3);
    known
        .into_iter()
        .filter(|name| *name != word && name.chars().count() > 1)
        .map(|name| (strsim::osa_distance(word, name), name))
        .filter(|(slips, name)| *slips <= slips_allowed && *slips < name.chars().count())
        // The first of equally near ones, so that the answer does not depend on anything but the order given.
        .min_by_key(|(slips, _)| *slips)
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_near_names_are_suggested() {
        let known = ["flask", "liquor", "lye", "crop"];
        for (word, meant) in [
            ("flaks", Some("flask")),
            ("liqor", Some("liquor")),
            ("lie", Some("lye")),
            ("corp", Some("crop")),
            ("beaker", None),
            ("flask", None),
            ("", None),
        ] {
            assert_eq!(near(word, known), meant, "{word}");
        }
    }
}
