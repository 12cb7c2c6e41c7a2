use super::{Levels, SightKind};
use crate::reading::{CellError, Misclosure, ReadOptions};

/// What kind of slip would explain a misclosure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum SlipKind {
    /// Backsight and foresight of one set-up in each other's place.
    Exchanged,
    /// Staff upside down without its sign, or a sign too many.
    Sign,
    /// Two neighbouring digits in each other's place.
    Digits,
    /// A whole metre, half, or decimetre misread.
    Whole,
}

struct SlipCandidate {
    row: usize,
    column: &'static str,
    kind: SlipKind,
    should_be_m: f64,
}

/// The refusal of a misclosure, naming the row that most likely is bad where a common slip would explain it.
///
/// A misclosure alone does not say where it arose; but exchanged sights, a lost sign, two digits in each other's place or a whole
/// metre leave a misclosure of a kind that only few readings can have made.
pub(super) fn suspect(levels: &Levels, misclosure: Misclosure, options: &ReadOptions) -> CellError {
    let slack = misclosure.allowed_m;
    let mut candidates = candidates(levels, misclosure.found_m, slack);
    candidates.sort_by_key(|c| c.kind);
    let found = format!(
        "a misclosure of {} (calculated minus known)",
        options.told(misclosure.found_m)
    );
    let expected = format!("at most {} (allowable misclosure)", options.told(slack));
    let kind = candidates.first().map(|c| c.kind);
    let alike = candidates.iter().filter(|c| Some(c.kind) == kind).count();
    match (candidates.first(), alike) {
        (Some(c), 1..=3) if c.kind != SlipKind::Whole || alike == 1 => {
            let why = match c.kind {
                SlipKind::Exchanged => {
                    "the backsight and the foresight of its set-up seem to be exchanged".to_owned()
                }
                SlipKind::Sign => {
                    "the sign of this reading seems to be wrong (with the staff upside down, a reading is negative)"
                        .to_owned()
                }
                SlipKind::Digits => format!(
                    "two digits seem to be exchanged. With {}, the book closes",
                    options.told(c.should_be_m)
                ),
                SlipKind::Whole => format!("with {}, the book closes", options.told(c.should_be_m)),
            };
            let others = if alike > 1 {
                format!(" ({} other readings are also possible)", alike - 1)
            } else {
                String::new()
            };
            CellError::new(
                c.row,
                c.column,
                format!("the book does not close. This row is probably wrong{others}"),
            )
            .found(found)
            .expected(expected)
            .advice(format!(
                "{why}. Check it in the field book, or survey this section again"
            ))
        }
        _ => {
            let row = levels
                .setups
                .last()
                .and_then(|s| s.sights.last())
                .map_or(0, |s| s.row);
            CellError::new(row, "fs", "the book does not close, and no single common mistake explains it")
                .found(found)
                .expected(expected)
                .advice("check the known heights. Survey the route again, or from both ends. Or give a larger `misclosure` under [survey]")
        }
    }
}

fn candidates(levels: &Levels, found_m: f64, slack_m: f64) -> Vec<SlipCandidate> {
    let mut out = Vec::new();
    for setup in &levels.setups {
        let (Some(back), Some(fore)) = (setup.sights.first(), setup.sights.last()) else {
            continue;
        };
        let exchanged = 2.0 * (back.reading_m - fore.reading_m);
        if (exchanged - found_m).abs() <= slack_m && exchanged.abs() > 2.0 * slack_m {
            out.push(SlipCandidate {
                row: back.row,
                column: "bs",
                kind: SlipKind::Exchanged,
                should_be_m: fore.reading_m,
            });
        }
        for sight in [back, fore] {
            // A backsight too large lifts everything after it; a foresight too large sinks it.
            let too_much = if sight.kind == SightKind::Back {
                found_m
            } else {
                -found_m
            };
            let should_be = sight.reading_m - too_much;
            let kind = if (2.0 * sight.reading_m - too_much).abs() <= slack_m {
                Some(SlipKind::Sign)
            } else if digits_exchanged(sight.reading_m, too_much, slack_m) {
                Some(SlipKind::Digits)
            } else if whole(found_m, slack_m) && (0.0..=5.0).contains(&should_be) {
                Some(SlipKind::Whole)
            } else {
                None
            };
            if let Some(kind) = kind {
                out.push(SlipCandidate {
                    row: sight.row,
                    column: sight.kind.column(),
                    kind,
                    should_be_m: should_be,
                });
            }
        }
    }
    out
}

/// Whether exchanging two neighbouring digits of a reading in millimetres takes out what is too much of it.
fn digits_exchanged(reading_m: f64, too_much_m: f64, slack_m: f64) -> bool {
    let mm = (reading_m.abs() * 1000.0).round() as i64;
    [1_i64, 10, 100].into_iter().any(|place| {
        let (low, high) = (mm / place % 10, mm / (place * 10) % 10);
        let change = (low - high) * 9 * place;
        change != 0
            && change.abs() as f64 / 1000.0 > 2.0 * slack_m
            && (change as f64 / 1000.0 + too_much_m).abs() <= slack_m.min(0.006)
    })
}

/// Whether a misclosure is a whole metre, a half or a decimetre within what levelling leaves over.
fn whole(found_m: f64, slack_m: f64) -> bool {
    [1.0, 2.0, 0.5, 0.1]
        .into_iter()
        .any(|w| (found_m.abs() - w).abs() <= slack_m.min(0.2 * w))
}
