//! What was there before, and what is new.

use super::one::{Finding, Since};

/// Two places of one finding lie no further apart than this, m: the stations of two surveys part by as much.
const APART_M: f64 = 10.0;

/// Marks what was found now with when it came up: before, where the earlier line has one of the same code, on the same thing, at the same place and no less severe. Each earlier one answers for one.
pub fn since(before: &[Finding], now: &mut [Finding]) {
    let mut taken = vec![false; before.len()];
    for finding in now {
        let old = before
            .iter()
            .enumerate()
            .filter(|(i, old)| taken.get(*i) == Some(&false) && is_same(old, finding))
            .min_by(|(_, a), (_, b)| away(a, finding).total_cmp(&away(b, finding)));
        finding.since = Some(match old {
            Some((i, _)) => {
                if let Some(slot) = taken.get_mut(i) {
                    *slot = true;
                }
                Since::Before
            }
            None => Since::New,
        });
    }
}

/// The same thing at the same place, and as grave before.
pub(super) fn is_same(old: &Finding, now: &Finding) -> bool {
    old.kind.code() == now.kind.code()
        && old.kind.subject() == now.kind.subject()
        && old.severity >= now.severity
        && old.from_m <= now.to_m + APART_M
        && now.from_m <= old.to_m + APART_M
}

fn away(a: &Finding, b: &Finding) -> f64 {
    (a.from_m - b.from_m).abs() + (a.to_m - b.to_m).abs()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::found::{Found, Severity};
    use crate::finding::{HardlyFalls, Kind};

    fn flat(severity: Severity, from_m: f64) -> Finding {
        let flat = HardlyFalls {
            fall: 0.001,
            fall_sd: 0.0,
        };
        Found::new(severity, Kind::HardlyFalls(flat), from_m, from_m + 20.0).into()
    }

    #[test]
    fn old_is_what_stood_there_as_gravely() {
        let before = [flat(Severity::Watch, 100.0)];
        let told = |mut now: Vec<Finding>| {
            since(&before, &mut now);
            now.iter().map(|f| f.since.unwrap()).collect::<Vec<_>>()
        };
        assert_eq!(told(vec![flat(Severity::Watch, 103.0)]), [Since::Before]);
        assert_eq!(told(vec![flat(Severity::Fix, 103.0)]), [Since::New]);
        assert_eq!(told(vec![flat(Severity::Watch, 200.0)]), [Since::New]);
        // one that was there does not answer for two
        assert_eq!(
            told(vec![
                flat(Severity::Watch, 100.0),
                flat(Severity::Watch, 110.0)
            ]),
            [Since::Before, Since::New]
        );
    }
}
