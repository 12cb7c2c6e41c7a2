//! A pipe whose class nobody knows: the weakest and the strongest grade that it may be.

use super::{Pipe, catalogue};
use std::collections::BTreeMap;

/// A grade that a pipe may be of, and what that gives it.
#[derive(Debug, Clone, PartialEq)]
pub struct MayBe {
    /// Standard that knows the grade.
    pub standard: String,
    /// Grade as it is marked on the pipe.
    pub grade: String,
    /// What the pipe's own outside diameter and wall take in that grade, Pa.
    pub rating_pa: f64,
}

/// The weakest and the strongest grade of the catalogue that a pipe of known material, outside diameter and wall may be; `None` where a rating is known, the pipe is refused, or the wall is not known.
///
/// Each grade's stress is worked out of its own rows, `sigma = p (D - t) / 2 t`, at the lower quarter of them (small sizes have walls beyond the rule), and gives back `p = 2 sigma t / (D - t)`
/// for this pipe: the thin ring of ISO 4065 and of the ASTM standards for plastics, Barlow's for steel. Soft old polyethylene and drain pipe take less than any of them: without a marking nothing is promised.
pub fn may_be(pipe: &Pipe) -> Option<(MayBe, MayBe)> {
    if pipe.rating_pa.is_some() || pipe.refused.is_some() {
        return None;
    }
    let thin = |p: &Pipe| {
        let ratio = (p.outer_diameter_m - p.wall_m) / (2.0 * p.wall_m);
        (p.is_sized() && ratio > 0.0).then_some(ratio)
    };
    let own = thin(pipe)?;
    let mut grades: BTreeMap<(&str, &str), Vec<f64>> = BTreeMap::new();
    for row in catalogue().filter(|r| r.material == pipe.material && r.refused.is_none()) {
        if let (Some(pa), Some(ratio)) = (row.rating_pa, thin(row)) {
            grades
                .entry((&row.standard, &row.grade))
                .or_default()
                .push(pa * ratio);
        }
    }
    let mut all: Vec<MayBe> = grades
        .into_iter()
        .filter_map(|((standard, grade), mut stresses)| {
            stresses.sort_by(f64::total_cmp);
            Some(MayBe {
                standard: standard.to_owned(),
                grade: grade.to_owned(),
                rating_pa: stresses.get(stresses.len() / 4)? / own,
            })
        })
        .collect();
    all.sort_by(|a, b| a.rating_pa.total_cmp(&b.rating_pa));
    Some((all.first()?.clone(), all.last()?.clone()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::{Material, Own, find, own};

    #[test]
    fn a_black_pipe_without_a_marking_is_answered_as_a_range() {
        // 90 x 8.2 mm of polyethylene: SDR 11. HDS 800 psi of PE3608 gives 11.0 bar, PE100 (MRS 10, C 1.25) 16 bar (ISO 4427-2)
        let keys = Own {
            material: Some(Material::Pe),
            outer_diameter_m: Some(0.090),
            wall_m: Some(0.0082),
            ..Own::default()
        };
        let pipe = own(&keys).unwrap();
        let (weak, strong) = may_be(&pipe).unwrap();
        assert!((weak.rating_pa / 11.0e5 - 1.0).abs() < 0.02, "{weak:?}");
        assert!((strong.rating_pa / 16.0e5 - 1.0).abs() < 0.02, "{strong:?}");
        assert_eq!(
            (weak.grade.as_str(), strong.grade.as_str()),
            ("PE3608", "PE100")
        );
        assert!(may_be(&find("PE100 SDR 11 90").unwrap()).is_none());
        assert!(
            may_be(&Pipe {
                wall_m: 0.0,
                ..pipe
            })
            .is_none()
        );
    }
}
