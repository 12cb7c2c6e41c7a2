use super::{How, Material};

/// One size and class of pipe: from the catalogue, or from the user's own keys.
#[derive(Debug, Clone, PartialEq)]
pub struct Pipe {
    /// The words it is called by in results: "PE100 SDR 11 DN/OD 90".
    pub spec: String,
    /// Row of the catalogue; empty for the user's own.
    pub id: String,
    /// Standard it is made to; empty for the user's own.
    pub standard: String,
    /// What it is made of.
    pub material: Material,
    /// Grade as the standard writes it: "PE100", "PVC-U", "steel".
    pub grade: String,
    /// Size as the trade calls it: "DN/OD 90", "3 in IPS".
    pub size_label: String,
    /// Series or class: "SDR 11", "Schedule 40".
    pub series: String,
    /// Outside diameter, m.
    pub outer_diameter_m: f64,
    /// Least wall, m.
    pub wall_m: f64,
    /// Bore to compute flow with, m.
    pub inner_diameter_m: f64,
    /// Pressure it may take at `rating_temp_c`, Pa. `None`: not known.
    pub rating_pa: Option<f64>,
    /// Where the rating comes from, in words.
    pub rating_basis: String,
    /// Temperature the rating holds at, C.
    pub rating_temp_c: f64,
    /// Mass of the empty pipe, kg/m.
    pub mass_kg_per_m: f64,
    /// How the dimensions are known.
    pub how_dims: How,
    /// How the rating is known.
    pub how_rating: How,
    /// Named source of the row.
    pub source: String,
    /// Note that goes with the row.
    pub note: String,
    /// Sand roughness when new, m.
    pub roughness_m: f64,
    /// Sand roughness when slimed or rusted, m.
    pub roughness_old_m: f64,
    /// The user's own short-term modulus, Pa.
    pub modulus_pa: Option<f64>,
    /// The user's own wave speed, m/s.
    pub wave_speed_m_per_s: Option<f64>,
    /// The user's own Darcy friction factor.
    pub friction_factor: Option<f64>,
    /// Not pressure pipe: the reason it is refused.
    pub refused: Option<String>,
}

impl Pipe {
    /// Area of the bore, m2.
    pub fn bore_area_m2(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.inner_diameter_m * self.inner_diameter_m
    }

    /// Area inside the outside diameter, m2: what pressure pushes on at a socket.
    pub fn outer_area_m2(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.outer_diameter_m * self.outer_diameter_m
    }

    /// Whether its outside, wall and mass are known: not of drain pipe whose sizes no table gives (they are 0 there), of which nothing but flow is computed.
    pub fn is_sized(&self) -> bool {
        self.wall_m > 0.0
    }

    /// Outside diameter over wall.
    pub fn diameter_ratio(&self) -> f64 {
        self.outer_diameter_m / self.wall_m
    }
}
