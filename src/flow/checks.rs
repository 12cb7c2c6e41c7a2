//! What stands beside a running state: the older law, and what silt does.

/// Which of the forms in print; they do not agree to better than 2 %.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HazenForm {
    /// 10.67 Q^1.852 / (C^1.852 D^4.8704), metres and m3/s.
    Metric,
    /// 0.2083 (100/C)^1.852 q^1.852 / d^4.8655, feet in 100 ft, US gpm, inches: behind the tables of plastic pipe in US use, 1 to 2 % over the others.
    UsTables,
    /// 1.318 C R^0.63 S^0.54, feet and seconds: the definition (from memory).
    Definition,
}

/// The friction of a run by Hazen and Williams, beside the computed one.
#[derive(Debug, Clone, PartialEq)]
pub struct ByHazen {
    /// Head, m, over the same full lengths.
    pub friction_m: f64,
    /// The form it was worked out by.
    pub form: HazenForm,
    /// The C of each reach of the line, in order.
    pub c: Vec<f64>,
    /// The water is colder or warmer, or a bore or speed outside, what the law was made for: it drifts then by 10 % and more.
    pub outside: bool,
}

/// A stretch held against what silt needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carrying {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Velocity, m/s.
    pub velocity_m_per_s: f64,
    /// From this on silt and fine sand stay in motion, m/s.
    pub carries_m_per_s: f64,
    /// From this on settled grit is flushed, m/s.
    pub flushes_m_per_s: f64,
}
