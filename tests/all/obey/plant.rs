//! A small random plant that can be changed as advice says, and run again.

use serde_json::Value;
use std::fmt::Write as _;
use steadyfall::json;
use steadyfall::line;
use steadyfall::numeric::Rng;
use steadyfall::report::account::Report;
use steadyfall::route::Route;
use steadyfall::site::{self, Site};
use steadyfall::study::{Study, read_route_from};
use steadyfall::survey;
use steadyfall::unit::Units;

/// A pipe from the table above to where it ends.
#[derive(Clone, Debug)]
pub struct Laid {
    pub material: Material,
    pub class: usize,
    pub size_mm: usize,
    pub to_m: Option<f64>,
    pub joint: &'static str,
    /// Words that took the place of ours: what a finding said.
    pub spec: Option<String>,
    pub piece_m: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Material {
    Pe,
    Pvc,
    Steel,
}

/// Classes of a size, the weakest first.
const PE: [&str; 4] = ["SDR26", "SDR17", "SDR11", "SDR7.4"];
const PVC: [&str; 3] = ["PN 8", "PN 10", "PN 16"];

impl Laid {
    /// The keys that say what pipe it is.
    fn keys(&self) -> String {
        let spec = match (&self.spec, self.material) {
            (Some(spec), _) => spec.clone(),
            (None, Material::Pe) => format!("PE100 {} {}", PE[self.class], self.size_mm),
            (None, Material::Pvc) => {
                format!("PVC-U ISO 1452 {} DN/OD {}", PVC[self.class], self.size_mm)
            }
            (None, Material::Steel) => {
                let across = match self.size_mm {
                    ..75 => "60.3",
                    75..100 => "88.9",
                    100..125 => "114.3",
                    125..150 => "139.7",
                    150..180 => "168.3",
                    180..230 => "219.1",
                    230..300 => "273.0",
                    _ => "323.9",
                };
                return format!(
                    "material = \"steel\"\nouter_diameter = \"{across} mm\"\nwall = \"3.2 mm\"\nrating = \"40 bar\""
                );
            }
        };
        format!("spec = \"{spec}\"")
    }
}

/// Something that stands, or a table of the site file: its keys as they are written.
pub type Table = Vec<(&'static str, String)>;

/// What the water leaves by.
#[derive(Clone, Debug)]
pub enum Outlet {
    Jets(usize, f64),
    Flow(f64),
}

/// How the line was surveyed.
#[derive(Clone, Debug)]
pub enum Book {
    /// Stations and heights.
    Points,
    /// Places in plan and heights: how each leg turns from the one before, rad.
    Plan(Vec<f64>),
    /// A walk with a receiver, by its seed.
    Walk(u64),
}

#[derive(Clone, Debug)]
pub struct Plant {
    pub book: Book,
    pub siphon: bool,
    /// Station and flow of what is taken off, m, L/s.
    pub draw: Option<(f64, f64)>,
    /// Station, height, standard deviation, m.
    pub points: Vec<(f64, f64, f64)>,
    pub pipes: Vec<Laid>,
    pub state: &'static str,
    pub levels_m: (f64, f64, f64),
    pub outlet: Outlet,
    pub fittings: Vec<Table>,
    pub marks: Vec<Table>,
    pub movements: Vec<Table>,
    pub laid: Vec<Table>,
    pub floods: Vec<Table>,
    /// Tables of the works at the intake, the machine and the metals: by name as the site file heads them.
    pub works: Vec<(&'static str, Table)>,
    pub soil: &'static str,
    pub altitude_m: f64,
    pub sun: bool,
    pub hottest_c: f64,
}

pub fn quoted(value: impl std::fmt::Display, unit: &str) -> String {
    format!("\"{value:.6} {unit}\"")
}

impl Plant {
    /// A plant by its seed.
    pub fn random(seed: u64) -> Self {
        let mut draws = Rng::new(0x0bed + seed);
        let mut pick = |n: usize| ((draws.uniform() * n as f64) as usize).min(n - 1);
        let legs = 6 + pick(8);
        let steep = [0.04, 0.12, 0.3][pick(3)];
        let sd = [0.005, 0.03, 0.15][pick(3)];
        let climbs = pick(3);
        let pvc = pick(4) == 0;
        let size = [63, 90, 110][pick(3)];
        let class = pick(3);
        let jets = 1 + pick(4);
        let machine = pick(4);
        let thin_above = pick(3) == 0 && !pvc;
        let kinds = ["gate valve", "ball valve", "globe valve"];
        let (head, foot) = (kinds[pick(3)], kinds[pick(3)]);
        let vents = pick(4);
        let flood = pick(6) == 0;
        let sun = pick(3) == 0;
        let planned = pick(2) == 0;
        let altitude_m = [100.0, 900.0, 1800.0][pick(3)];
        let low = pick(3);
        let mut points = vec![(0.0, 500.0, sd)];
        let (mut s, mut z) = (0.0, 500.0);
        let mut climbing = climbs;
        for leg in 0..legs {
            let level = 15.0 + 50.0 * draws.uniform();
            let up = climbing > 0 && leg > 1 && leg + 1 < legs && draws.uniform() < 0.3;
            let fall = if up {
                climbing -= 1;
                -0.02 - 0.06 * draws.uniform()
            } else {
                steep * (0.2 + 1.4 * draws.uniform())
            };
            s += level * (1.0 + fall * fall).sqrt();
            z -= level * fall;
            points.push((s, z, sd));
        }
        let length = s;
        let drop = 500.0 - z;
        let class = match (pvc, drop) {
            (true, _) => class,
            // most pipes are about strong enough
            (false, d) if d > 90.0 => 2,
            (false, d) if d > 50.0 => 1 + class / 2,
            _ => class,
        };
        let pipe = |class, to_m| Laid {
            material: if pvc { Material::Pvc } else { Material::Pe },
            class,
            size_mm: size,
            to_m,
            joint: if pvc { "ring" } else { "fused" },
            spec: None,
            piece_m: if pvc { 6.0 } else { 100.0 },
        };
        let pipes = if thin_above && class > 0 {
            vec![
                pipe(class - 1, Some((0.4 * length).round())),
                pipe(class, None),
            ]
        } else {
            vec![pipe(class, None)]
        };
        let area = (size as f64 * 0.4e-3).powi(2);
        let nozzle_mm = (1e3 * (area / jets as f64 * (0.2 + 0.5 * draws.uniform())).sqrt() * 0.5)
            .clamp(4.0, 25.0);
        let flow_l = 1e3 * 0.785 * (size as f64 * 0.85e-3).powi(2) * (0.5 + draws.uniform());
        let outlet = if machine == 0 {
            Outlet::Flow(flow_l)
        } else {
            Outlet::Jets(jets, nozzle_mm)
        };
        let fitting = |at: f64, kind: &str, name: &str| -> Table {
            vec![
                ("at", quoted(at, "m")),
                ("kind", format!("\"{kind}\"")),
                ("name", format!("\"{name}\"")),
                ("rating", "\"25 bar\"".to_owned()),
            ]
        };
        let mut fittings = vec![fitting(length - 2.0, foot, "turbine valve")];
        if draws.uniform() < 0.7 {
            fittings.insert(0, fitting(2.0, head, "head valve"));
        }
        let mut marks: Vec<Table> = Vec::new();
        let vent = |at: f64, device: &str, more: &[(&'static str, &str)]| -> Table {
            let mut out = vec![
                ("kind", "\"vent\"".to_owned()),
                ("at", quoted(at, "m")),
                ("device", format!("\"{device}\"")),
            ];
            out.extend(more.iter().map(|(k, v)| (*k, format!("\"{v}\""))));
            out
        };
        match vents {
            1 => marks.push(vent(
                3.0,
                "standpipe",
                &[("bore", "20 mm"), ("top", "1.2 m")],
            )),
            2 => marks.push(vent(
                3.0,
                "vacuum valve",
                &[("bore", "25 mm"), ("state", "stuck")],
            )),
            3 => marks.push(vent(
                0.5 * length,
                "air valve",
                &[("bore", "10 mm"), ("cock", "shut")],
            )),
            _ => {}
        }
        let mut floods = Vec::new();
        if flood {
            floods.push(vec![
                ("from", quoted(0.5 * length, "m")),
                ("to", quoted(0.6 * length, "m")),
                ("speed", "\"2 m/s\"".to_owned()),
                ("depth", "\"0.5 m\"".to_owned()),
                ("debris", "\"light\"".to_owned()),
            ]);
        }
        Self {
            book: Book::Points,
            siphon: false,
            draw: None,
            points,
            pipes,
            state: if planned { "planned" } else { "laid" },
            levels_m: (1.0, [0.9, 0.4, 0.1][low], 1.4),
            outlet,
            fittings,
            marks,
            movements: Vec::new(),
            laid: Vec::new(),
            floods,
            works: Vec::new(),
            soil: ["sand", "rock", "clay"][seed as usize % 3],
            altitude_m,
            sun,
            hottest_c: 28.0,
        }
    }

    pub fn length_m(&self) -> f64 {
        self.points.last().unwrap().0
    }

    pub fn sheet(&self) -> String {
        if let Book::Walk(seed) = self.book {
            return self.walk(seed);
        }
        if let Book::Plan(turns) = &self.book {
            let mut out = String::from("east_m,north_m,height_m,sd_m\n");
            let (mut east, mut north, mut heading) = (0.0, 0.0, 0.0_f64);
            let mut last = self.points[0];
            for (point, turn) in self
                .points
                .iter()
                .zip(turns.iter().chain(std::iter::repeat(&0.0)))
            {
                let (ds, dz) = (point.0 - last.0, point.1 - last.1);
                let level = (ds * ds - dz * dz).max(0.0).sqrt();
                east += level * heading.sin();
                north += level * heading.cos();
                heading += turn;
                let _ = writeln!(out, "{east:.4},{north:.4},{:.4},{:.4}", point.1, point.2);
                last = *point;
            }
            return out;
        }
        let mut out = String::from("station_m,height_m,sd_m\n");
        for (s, z, sd) in &self.points {
            let _ = writeln!(out, "{s:.4},{z:.4},{sd:.4}");
        }
        out
    }

    pub fn site(&self) -> String {
        let book = match self.book {
            Book::Points => "files = [\"line.csv\"]\nkind = \"points\"\ntaped = \"slope\"",
            Book::Plan(_) => "files = [\"line.csv\"]\nkind = \"points\"",
            Book::Walk(_) => "files = [\"line.gpx\"]\nkind = \"gpx\"",
        };
        let mut out = format!(
            "format = 1\ntitle = \"obeyed\"\n[survey]\n{book}\nof = \"pipe centre\"\nfrom = \"intake\"\n\
             [site]\nlatitude = 46.0\naltitude = {}\nhottest_air = {}\ncoldest_air = \"-6 C\"\nsun = {}\nfrost_depth = \"0.4 m\"\n\
             [water]\ntemperature = \"8 C\"\ncoldest = \"2 C\"\nwarmest = \"14 C\"\n[intake]\nwater_level = {}\nlow_level = {}\nflood_level = {}\n",
            quoted(self.altitude_m, "m"),
            quoted(self.hottest_c, "C"),
            self.sun,
            quoted(self.levels_m.0, "m"),
            quoted(self.levels_m.1, "m"),
            quoted(self.levels_m.2, "m"),
        );
        if self.siphon {
            out.push_str("kind = \"siphon\"\n");
        }
        for pipe in &self.pipes {
            let _ = writeln!(
                out,
                "[[pipe]]\n{}\njoint = \"{}\"\npiece = \"{} m\"\nstate = \"{}\"\ncondition = \"new\"",
                pipe.keys(),
                pipe.joint,
                pipe.piece_m,
                self.state
            );
            if let Some(to) = pipe.to_m {
                let _ = writeln!(out, "to = {}", quoted(to, "m"));
            }
        }
        match self.outlet {
            Outlet::Jets(n, mm) => {
                let _ = writeln!(
                    out,
                    "[turbine]\njets = {n}\nnozzle_diameter = {}\nwater_to_wire = 0.55",
                    quoted(mm, "mm")
                );
            }
            Outlet::Flow(l) => {
                let _ = writeln!(
                    out,
                    "[turbine]\nflow = {}\nmachine = \"other\"\nwater_to_wire = 0.55",
                    quoted(l, "L/s")
                );
            }
        }
        for (name, table) in &self.works {
            let _ = writeln!(out, "{name}");
            for (key, value) in table {
                let _ = writeln!(out, "{key} = {value}");
            }
        }
        for (name, tables) in [
            ("fitting", &self.fittings),
            ("mark", &self.marks),
            ("movement", &self.movements),
            ("laid", &self.laid),
            ("flood", &self.floods),
        ] {
            for table in tables {
                let _ = writeln!(out, "[[{name}]]");
                for (key, value) in table {
                    let _ = writeln!(out, "{key} = {value}");
                }
            }
        }
        if let Some((at, flow)) = self.draw {
            let _ = writeln!(
                out,
                "[[draw]]\nat = {}\nflow = {}",
                quoted(at, "m"),
                quoted(flow, "L/s")
            );
        }
        let _ = writeln!(
            out,
            "[[ground]]\nfrom = \"0 m\"\nto = {}\nsoil = \"{}\"",
            quoted(self.length_m(), "m"),
            self.soil
        );
        out
    }

    /// result.json of a check; the fault in words where the site is refused.
    pub fn run(&self) -> Result<Value, String> {
        checked(&self.site(), &self.sheet())
    }
}

pub(super) fn route(site: &Site, sheet: &str) -> Result<Route, String> {
    let name = site.survey.files[0].value.clone();
    read_route_from(site, &|_, kind, options| {
        survey::read_bytes(sheet.as_bytes(), &name, kind, options)
    })
    .map_err(|f| format!("{f}\n{sheet}"))
}

/// result.json of a check of a site and its one book; the fault in words where it is refused.
pub fn checked(text: &str, sheet: &str) -> Result<Value, String> {
    let site = site::read_text("site.toml", text).map_err(|f| format!("{}\n{text}", f[0]))?;
    let route = route(&site, sheet)?;
    let line = line::build(&site, &route).map_err(|f| format!("{}\n{text}", f[0]))?;
    Ok(json::of_check(&Report::of(
        Study::of(route, line),
        Units::Metric,
    )))
}
