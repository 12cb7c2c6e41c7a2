use super::Say;
use super::label::local;
use crate::air::{Act, AirOut, NoTest};

/// A step of the work in a sentence, with its figures.
pub fn act(act: &Act, say: Say) -> String {
    local(step(act, say), say)
}

fn step(act: &Act, say: Say) -> String {
    match act {
        Act::WalkFirst => {
            "Walk along the pipeline. Check that the anchors are installed, the joints are made and the drains are clear. Make sure that nobody is below.".to_owned()
        }
        Act::SetVentsFirst(at) => format!(
            "Install the required vents at {} first. With the existing vents the pipeline becomes air-locked, even with every air cock open.",
            say.stations(at)
        ),
        Act::VentsDoNotCure => "The pipeline becomes air-locked as it lies now, and no vent prevents this. Regrade it so that it falls before filling.".to_owned(),
        Act::OpenCocks(at) => format!("Open the air cocks at {}.", say.stations(at)),
        Act::OpenCocksAsItFalls(at) => {
            let all: Vec<String> = at
                .iter()
                .map(|(s, pa)| format!("{} at {}", say.station(*s), say.pressure(*pa)))
                .collect();
            format!(
                "Open the air cocks, the highest first. Open each one when the gauge at the lower end has fallen to its value: {}.",
                all.join(", ")
            )
        }
        Act::CheckVents(at) => format!(
            "Make sure that {} clear and open.",
            one_or_more("the vent", at, say)
        ),
        Act::ShutDrains(at) => format!("Close {}.", drains(at, say)),
        Act::OpenDrains(at) if at.len() == 1 => format!("Open {}.", drains(at, say)),
        Act::OpenDrains(at) => {
            format!("Open the drains in this order: {}.", say.stations(at))
        }
        Act::FlushDrains(at) if at.len() == 1 => {
            format!("Open {} until the water is clear.", drains(at, say))
        }
        Act::FlushDrains(at) => format!(
            "Open the drains in this order, each until the water is clear: {}.",
            say.stations(at)
        ),
        Act::CrackLowerEnd(valve) => format!(
            "Open {} or one nozzle slightly, so that the air in the last section can escape.",
            valve.as_deref().map_or_else(|| "the valve at the lower end".to_owned(), the)
        ),
        Act::Prime(at) => format!(
            "Prime the siphon. Close the lower end. Fill the siphon at its high point, {}, until no more air comes out. Then close the air cock there.",
            say.station(*at)
        ),
        Act::FillAt {
            valve,
            flow_m3_per_s,
            time_s,
        } => format!(
            "{} {}, and not more. Water comes out at the lower end after about {}.",
            match valve {
                Some(name) => format!("Open {} to", the(name)),
                None => "Let in, at the intake,".to_owned(),
            },
            say.flow(*flow_m3_per_s),
            minutes(*time_s)
        ),
        Act::WaitAtCrest {
            station_m,
            after_s,
            air,
        } => {
            let (when, at) = (minutes(*after_s), say.station(*station_m));
            match air {
                AirOut::Free => format!(
                    "After about {when} the water passes the high point at {at}. Wait until the vent has released the air."
                ),
                AirOut::ByHand => format!(
                    "After about {when} the water passes the high point at {at}. Wait until water flows without air, then close the air cock there."
                ),
                AirOut::Nothing => format!(
                    "After about {when} the water passes the high point at {at}, which has no vent. Do not increase the flow. Let the air escape at the lower end."
                ),
            }
        }
        Act::IfNoWaterComes { after_s } => format!(
            "If no water comes out at the lower end after {}, the pipeline is air-locked. Close the intake, drain the pipe, and vent the rising sections. Then try again.",
            minutes(*after_s)
        ),
        Act::ReadShutGauge {
            pressure_pa,
            low_by_pa,
            over_s,
        } => {
            let low = if *low_by_pa > 0.0 {
                format!(
                    " Trapped air that may stay lowers the reading by {}.",
                    say.pressure(*low_by_pa)
                )
            } else {
                String::new()
            };
            format!(
                "When the water flows without air, close the lower end {}. Read the gauge there. It must show {}. A lower reading means trapped air.{low}",
                slowly(*over_s, say),
                say.pressure(*pressure_pa)
            )
        }
        Act::HoldStanding {
            pressure_pa,
            time_s,
        } => format!(
            "Hydrostatic test: keep the static pressure, {} on the gauge at the lower end, for {}. Inspect every joint.",
            say.pressure(*pressure_pa),
            minutes(*time_s)
        ),
        Act::PlugForTest {
            valve,
            standpipes_m,
            valves_m,
        } => {
            let mut parts = vec![format!("close {}", the(valve))];
            if !standpipes_m.is_empty() {
                parts.push(format!("plug the standpipe at {}", say.stations(standpipes_m)));
            }
            if !valves_m.is_empty() {
                parts.push(format!(
                    "close the isolating valve below the vent at {}",
                    say.stations(valves_m)
                ));
            }
            let last = parts.pop().unwrap_or_default();
            let mut text = if parts.is_empty() {
                last
            } else {
                format!("{} and {last}", parts.join(", "))
            };
            if let Some(letter) = text.get_mut(0..1) {
                letter.make_ascii_uppercase();
            }
            format!("{text}. An open vent releases the test pressure.")
        }
        Act::HoldTest {
            pressure_pa,
            time_s,
            loss_pa,
        } => format!(
            "Raise the pressure with a hand pump at the lower end until the gauge there shows {}. Keep it for {}. The pressure may fall by {} or less. Polyethylene expands at first: pump again, then start the time.",
            say.pressure(*pressure_pa),
            minutes(*time_s),
            say.pressure(*loss_pa)
        ),
        Act::UnplugAfterTest(at) if at.is_empty() => {
            "Release the pressure at the lower end.".to_owned()
        }
        Act::UnplugAfterTest(at) => format!(
            "First, release the pressure at the lower end. Then open again what was plugged or closed at {}.",
            say.stations(at)
        ),
        Act::NoHigherTest(why) => match why {
            NoTest::NoHeadValve => "No valve is given at the intake, so no pressure above the static pressure is possible. The static pressure is the test pressure.".to_owned(),
            NoTest::NoRating => "A rating is not known, so no test above the static pressure can be given.".to_owned(),
            NoTest::Weakest(most_pa) => format!(
                "Do not test above the static pressure: the weakest part allows only {} at the lower end.",
                say.pressure(*most_pa)
            ),
        },
        Act::ShutHeadValve(valve) => format!("Close {} slowly.", the(valve)),
        Act::CutWater => "Divert the water from the intake, so that air enters the pipe inlet.".to_owned(),
        Act::ShutLowerEnd { over_s } => format!(
            "Close the nozzles and the lower end {}, one after the other.",
            slowly(*over_s, say)
        ),
        Act::OpenHeadValve(valve) => format!("Open {} slowly and fully.", the(valve)),
        Act::OpenVentBelowHeadValve(at) => format!(
            "Make sure that the vent below the head valve, at {}, is open.",
            say.station(*at)
        ),
        Act::NoVentBelowHeadValve(at) => format!(
            "No vent below the head valve lets air in (one is required at {}). Leave that valve open. If you close it on a full pipe, the pipe can collapse.",
            say.station(*at)
        ),
        Act::EmptyAtLowerEnd { time_s } => format!(
            "Open the lower end and let the pipeline empty. This takes about {}. The gauge there must show zero.",
            minutes(*time_s)
        ),
        Act::Stays {
            station_m,
            volume_m3,
        } => format!(
            "{} of water stays at the low point at {}.",
            say.volume(*volume_m3),
            say.station(*station_m)
        ),
        Act::FlushAt {
            flow_m3_per_s,
            speed_m_per_s,
            time_s,
            short,
        } => format!(
            "With the pipe full, open the lower end beside the nozzles, not through them. Flush at {} ({} in the widest pipe) for {}.{}",
            say.flow(*flow_m3_per_s),
            say.speed(*speed_m_per_s),
            minutes(*time_s),
            if *short {
                " The stream gives no more than this. Such a flow moves only fine silt, so flush again at high water."
            } else {
                ""
            }
        ),
        Act::OpenJets { over_s, running_pa } => format!(
            "Open the nozzles {}, one after the other.{}",
            slowly(*over_s, say),
            running_pa.map_or_else(String::new, |pa| format!(
                " With all nozzles open, the gauge at the lower end must show {}. If it shows less after some time, air has collected.",
                say.pressure(pa)
            ))
        ),
        Act::OpenToRestart(at) => format!(
            "With nobody there, the restart is not reliable. Open the air cocks at {}.",
            say.stations(at)
        ),
    }
}

/// A valve by its name in a sentence: "the head valve".
fn the(name: &str) -> String {
    if name.starts_with("the ") {
        name.to_owned()
    } else {
        format!("the {name}")
    }
}

/// "slowly", with the time where it is known.
fn slowly(over_s: Option<f64>, say: Say) -> String {
    over_s.map_or_else(
        || "slowly".to_owned(),
        |s| format!("slowly, in not less than {}", say.counted(s)),
    )
}

fn one_or_more(what: &str, at: &[f64], say: Say) -> String {
    if at.len() == 1 {
        format!("{what} at {} is", say.stations(at))
    } else {
        format!("{what}s at {} are", say.stations(at))
    }
}

fn drains(at: &[f64], say: Say) -> String {
    let many = if at.len() == 1 { "" } else { "s" };
    format!("the drain{many} at {}", say.stations(at))
}

/// A time that a person waits: seconds under two minutes, else minutes, else hours.
fn minutes(s: f64) -> String {
    if s < 120.0 {
        format!("{s:.0} s")
    } else if s < 7200.0 {
        format!("{:.0} min", s / 60.0)
    } else {
        format!("{:.1} h", s / 3600.0)
    }
}
