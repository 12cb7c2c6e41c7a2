use super::legs::{BookNet, DirectedLeg};
use super::{LegRow, RiseMeasure, reduce_leg};
use crate::reading::{CellError, Misclosure, ReadOptions};
use crate::reduction::condition::KnownSum;

impl BookNet<'_> {
    /// The refusal of a misclosure in height: percent read as degrees, or one sign, where that explains it.
    pub(super) fn refuse(
        &self,
        path: &[DirectedLeg],
        known: KnownSum,
        found: Misclosure,
        options: &ReadOptions,
    ) -> CellError {
        let row = path.get(known.plus.saturating_sub(1)).map_or(0, |s| s.row);
        let base = |row: usize, column: &'static str, text: &str| {
            CellError::new(row, column, text)
                .found(format!(
                    "a misclosure of {} in height",
                    options.told(found.found_m)
                ))
                .expected(format!(
                    "at most {}, three standard deviations of these sights",
                    options.told(found.allowed_m)
                ))
        };
        for (column, swapped, other) in [
            ("angle_deg", "percent", "grade_percent"),
            ("grade_percent", "degrees", "angle_deg"),
        ] {
            if let Some(first) = self.swapped_closes(path, known, found, column, options) {
                return base(
                    first,
                    column,
                    &format!("the book does not close. These values seem to be {swapped}"),
                )
                .advice(format!(
                    "if you read the {swapped} scale of the clinometer, change the head to {other}"
                ));
            }
        }
        let from = known.minus.unwrap_or(0);
        let flips: Vec<&DirectedLeg> = path
            .iter()
            .take(known.plus)
            .skip(from)
            .filter(|s| (2.0 * s.leg.rise_m - found.found_m).abs() <= found.allowed_m)
            .collect();
        if let ([one], true) = (
            flips.as_slice(),
            found.allowed_m < found.found_m.abs() / 3.0,
        ) {
            return base(
                one.row,
                "angle_deg",
                "the book does not close. The sign of this leg is probably wrong",
            )
            .advice(
                "an angle that falls towards `to` is negative. Check this leg in the field book",
            );
        }
        base(row, "elevation", "the book does not close at this point")
            .advice("sight each leg in both directions. Check the known heights. Check for a leg that is missing or recorded two times")
    }

    /// Whether reading every figure of a column on the clinometer's other scale closes the book; the first such row.
    fn swapped_closes(
        &self,
        path: &[DirectedLeg],
        known: KnownSum,
        found: Misclosure,
        column: &str,
        options: &ReadOptions,
    ) -> Option<usize> {
        let mut first = None;
        let mut change = 0.0;
        for step in path.iter().take(known.plus) {
            let at = self.rows.partition_point(|r| r.row < step.row);
            let row = self.rows.get(at)?;
            let swapped = match row.measures.as_slice() {
                [RiseMeasure::AngleDeg(a)] if column == "angle_deg" => RiseMeasure::Percent(*a),
                [RiseMeasure::Percent(p)] if column == "grade_percent" => RiseMeasure::AngleDeg(*p),
                _ => continue,
            };
            let other = LegRow {
                measures: vec![swapped],
                ..row.clone()
            };
            let leg = reduce_leg(&other, options).ok()?;
            first = first.or(Some(row.row));
            let sign = if (step.leg.rise_m < 0.0) == (leg.rise_m < 0.0) {
                1.0
            } else {
                -1.0
            };
            change += sign * leg.rise_m - step.leg.rise_m;
        }
        let closes =
            (found.found_m + change).abs() <= found.allowed_m.max(0.1 * found.found_m.abs());
        first.filter(|_| closes)
    }
}
