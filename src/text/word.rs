/// How many single letters must be put in, left out, changed or swapped with the next to turn one word into the other.
pub fn distance(a: &str, b: &str) -> usize {
    let letters = |s: &str| s.chars().collect::<Vec<char>>();
    steps(&letters(a), &letters(b), &mut Rows::default())
}

/// The last three rows of the table of steps: kept between words, so that a list of them is walked without asking for memory.
#[derive(Default)]
struct Rows {
    two_back: Vec<usize>,
    back: Vec<usize>,
    now: Vec<usize>,
}

fn steps(a: &[char], b: &[char], rows: &mut Rows) -> usize {
    rows.two_back.clear();
    rows.back.clear();
    rows.back.extend(0..=b.len());
    let mut last = None;
    for (i, &ca) in a.iter().enumerate() {
        rows.now.clear();
        rows.now.push(i + 1);
        let mut left = i + 1;
        let mut b_before = None;
        for (j, (&cb, cells)) in b.iter().zip(rows.back.windows(2)).enumerate() {
            let (diagonal, above) = match cells {
                [d, u] => (*d, *u),
                _ => continue,
            };
            let mut best = (diagonal + usize::from(ca != cb))
                .min(above + 1)
                .min(left + 1);
            if last == Some(cb)
                && b_before == Some(ca)
                && let Some(&swapped) = j.checked_sub(1).and_then(|k| rows.two_back.get(k))
            {
                best = best.min(swapped + 1);
            }
            rows.now.push(best);
            left = best;
            b_before = Some(cb);
        }
        std::mem::swap(&mut rows.two_back, &mut rows.back);
        std::mem::swap(&mut rows.back, &mut rows.now);
        last = Some(ca);
    }
    rows.back.last().copied().unwrap_or(0)
}

/// The known word nearest to one that is not known, case and the marks `_`, `-` and blank aside; `None` where nothing is near.
///
/// Near means at most a third of the letters changed (at least one, at most three), or one word beginning the other.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted: Vec<char> = plain(word).take(61).collect();
    if wanted.is_empty() || wanted.len() > 60 {
        return None;
    }
    let most = (wanted.len() / 3).clamp(1, 3);
    let mut rows = Rows::default();
    let mut letters: Vec<char> = Vec::new();
    known
        .into_iter()
        .filter_map(|k| {
            letters.clear();
            letters.extend(plain(k));
            let begins = wanted.len() >= 3
                && (letters.starts_with(&wanted)
                    || (letters.len() >= 3 && wanted.starts_with(&letters)));
            // Each letter more or less is a step: a word of another length need not be walked.
            if !begins && wanted.len().abs_diff(letters.len()) > most {
                return None;
            }
            let steps = steps(&wanted, &letters, &mut rows);
            let near = steps <= most;
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
