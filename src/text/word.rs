/// How many single letters must be put in, left out, changed or swapped with the next to turn one word into the other.
///
/// The optimal string alignment distance, by the crate `strsim`.
pub fn distance(a: &str, b: &str) -> usize {
    strsim::osa_distance(a, b)
}

/// The known word nearest to one that is not known, case and the marks `_`, `-` and blank aside; `None` where nothing is near.
///
/// Near means at most a third of the letters changed (at least one, at most three, and not all of them), or one word beginning the other.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted: String = plain(word).take(61).collect();
    let count = |s: &str| s.chars().count();
    let long = count(&wanted);
    if long == 0 || long > 60 {
        return None;
    }
    let most = (long / 3).clamp(1, 3);
    let mut letters = String::new();
    known
        .into_iter()
        .filter_map(|k| {
            letters.clear();
            letters.extend(plain(k));
            let other = count(&letters);
            let begins = long >= 3
                && (letters.starts_with(&wanted) || (other >= 3 && wanted.starts_with(&letters)));
            // Each letter more or less is a step: a word of another length need not be walked.
            if !begins && long.abs_diff(other) > most {
                return None;
            }
            let steps = distance(&wanted, &letters);
            // A word in which every letter changed is another word.
            let near = steps <= most && steps < long;
            (near || begins).then_some((!near, steps, k))
        })
        .min()
        .map(|(_, _, k)| k)
}

fn plain(word: &str) -> impl Iterator<Item = char> {
    word.chars()
        .filter(|c| !matches!(c, '_' | '-') && !c.is_whitespace())
        .flat_map(char::to_lowercase)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn known_distances() {
        assert_eq!(distance("", "abc"), 3);
        assert_eq!(distance("kitten", "sitting"), 3);
        assert_eq!(distance("jtes", "jets"), 1);
        assert_eq!(distance("vent", "vent"), 0);
    }

    #[test]
    fn the_nearest_word_is_found_or_none() {
        let keys = ["nozzle_diameter", "nozzle_height", "jets", "flow"];
        assert_eq!(nearest("nozle_diameter", keys), Some("nozzle_diameter"));
        assert_eq!(nearest("Nozzle Diameter", keys), Some("nozzle_diameter"));
        assert_eq!(nearest("jtes", keys), Some("jets"));
        assert_eq!(nearest("windmill", keys), None);
        assert_eq!(nearest("", keys), None);
        assert_eq!(nearest("q", ["\"", "m", "ft"]), None);
        assert_eq!(nearest("M", ["m", "ft"]), Some("m"));
    }

    proptest! {
        #[test]
        fn distance_is_even_handed(a in "[a-d]{0,8}", b in "[a-d]{0,8}") {
            prop_assert_eq!(distance(&a, &b), distance(&b, &a));
            prop_assert_eq!(distance(&a, &b) == 0, a == b);
            prop_assert!(distance(&a, &b) <= a.len().max(b.len()));
        }
    }
}
