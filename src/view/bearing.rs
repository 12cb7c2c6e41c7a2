use crate::anchor::Push;
use crate::numeric::math;

/// Direction of the level part of a thrust, degrees from north by east; `None` where it is not known or hardly any part of it is level.
pub fn bearing_deg(push: &Push) -> Option<f64> {
    let force = push.compass?;
    (force.level() > LEVEL_SHARE * force.size())
        .then(|| math::atan2(force.x, force.y).to_degrees().rem_euclid(360.0))
}

/// Share of a thrust that must be level for its bearing to be told.
const LEVEL_SHARE: f64 = 0.05;
