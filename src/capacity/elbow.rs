//! Which elbows turn a pipe.

/// Elbows that are sold, degrees.
const SOLD_DEG: [f64; 5] = [11.25, 22.5, 45.0, 60.0, 90.0];

/// The turn that one sold elbow makes, or two set one after the other, rad: the nearest single one where the pipe takes up the rest, else the nearest of all.
pub(super) fn sold(angle_rad: f64, takes_up: impl Fn(f64) -> bool) -> f64 {
    let nearest = |turns: Vec<f64>| {
        turns
            .into_iter()
            .min_by(|a, b| (a - angle_rad).abs().total_cmp(&(b - angle_rad).abs()))
            .unwrap_or(angle_rad)
    };
    let singles: Vec<f64> = SOLD_DEG.iter().map(|d| d.to_radians()).collect();
    let single = nearest(singles.clone());
    if takes_up((single - angle_rad).abs()) {
        return single;
    }
    let pairs = singles
        .iter()
        .flat_map(|a| singles.iter().map(move |b| a + b));
    nearest(pairs.chain(singles.iter().copied()).collect())
}

/// The turn of an elbow that is cut to its angle, rad: whole degrees.
pub(super) fn cut_to(angle_rad: f64) -> f64 {
    angle_rad.to_degrees().round().max(1.0).to_radians()
}

/// The elbows that make a turn, rad: one that is sold, or two, else one cut to the angle.
pub fn elbows(turn_rad: f64) -> Vec<f64> {
    let is = |a: f64| (a - turn_rad).abs() < 1e-9;
    let singles = SOLD_DEG.map(f64::to_radians);
    if singles.into_iter().any(is) {
        return vec![turn_rad];
    }
    let pair = singles
        .into_iter()
        .flat_map(|a| singles.map(|b| (a, b)))
        .find(|(a, b)| a >= b && is(a + b));
    match pair {
        Some((a, b)) => vec![a, b],
        None => vec![turn_rad],
    }
}

/// Whether an elbow of this angle is one that is sold as it is.
pub fn is_sold(angle_rad: f64) -> bool {
    SOLD_DEG
        .iter()
        .any(|d| (d.to_radians() - angle_rad).abs() < 1e-9)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_elbow_where_the_pipe_takes_up_the_rest_and_two_where_not() {
        let turn = |deg: f64, rest: f64| {
            let total = sold(deg.to_radians(), |r| r <= rest.to_radians());
            let parts: Vec<f64> = elbows(total)
                .iter()
                .map(|a| (a.to_degrees() * 100.0).round() / 100.0)
                .collect();
            parts
        };
        assert_eq!(turn(29.85, 8.0), [22.5]);
        assert_eq!(turn(29.85, 4.0), [22.5, 11.25]);
        assert_eq!(turn(65.9, 4.0), [45.0, 22.5]);
        assert_eq!(turn(65.9, 6.0), [60.0]);
        assert_eq!(turn(91.0, 2.0), [90.0]);
        assert_eq!(elbows(cut_to(0.52)), [30f64.to_radians()]);
    }
}
