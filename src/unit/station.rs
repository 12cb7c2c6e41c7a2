/// A station on the survey's pegs, m: in its own reckoning, which may count up the hill, begin elsewhere than at the intake, or be measured level.
///
/// A station along the pipe from its mouth is a plain `station_m`. So neither passes for the other: `route::Reckoning` alone turns one into the other.
#[derive(Debug, Clone, Copy, Default, PartialEq, PartialOrd)]
pub struct OnPegs(pub f64);
