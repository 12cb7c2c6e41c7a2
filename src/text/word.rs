/// How many single letters must be put in, left out, changed or swapped with the next to turn one word into the other.
pub fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut before: Vec<usize> = Vec::new();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    let mut last = None;
    for (i, ca) in a.chars().enumerate() {
        let mut next = Vec::with_capacity(row.len());
        next.push(i + 1);
        let mut left = i + 1;
        let mut b_before = None;
        for (j, (&cb, cells)) in b.iter().zip(row.windows(2)).enumerate() {
            let (diagonal, above) = match cells {
                [d, u] => (*d, *u),
                _ => continue,
            };
            let mut best = (diagonal + usize::from(ca != cb))
                .min(above + 1)
                .min(left + 1);
            if last == Some(cb)
                && b_before == Some(ca)
                && let Some(&two_back) = j.checked_sub(1).and_then(|k| before.get(k))
            {
                best = best.min(two_back + 1);
            }
            next.push(best);
            left = best;
            b_before = Some(cb);
        }
        before = std::mem::replace(&mut row, next);
        last = Some(ca);
    }
    row.last().copied().unwrap_or(0)
}

/// The known word nearest to one that is not known, case and the marks `_`, `-` and blank aside; `None` where nothing is near.
///
/// Near means at most a third of the letters changed (at least one, at most three), or one word beginning the other.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = plain(word);
    if wanted.is_empty() || wanted.chars().count() > 60 {
        return None;
    }
    known
        .into_iter()
        .filter_map(|k| {
            let p = plain(k);
            let steps = distance(&wanted, &p);
            let near = steps <= (wanted.chars().count() / 3).clamp(1, 3);
            let begins = wanted.chars().count() >= 3
                && (p.starts_with(&wanted) || (p.len() >= 3 && wanted.starts_with(&p)));
            (near || begins).then_some((!near, steps, k))
        })
        .min()
        .map(|(_, _, k)| k)
}

fn plain(word: &str) -> String {
    word.chars()
        .filter(|c| !matches!(c, '_' | '-') && !c.is_whitespace())
        .flat_map(char::to_lowercase)
        .collect()
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
