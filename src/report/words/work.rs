use super::Say;
use crate::air::{Act, Job};

/// The word of a job.
pub fn job_word(job: Job) -> &'static str {
    match job {
        Job::Filling => "filling",
        Job::Testing => "pressure test",
        Job::Draining => "draining",
        Job::Flushing => "flushing",
        Job::Restarting => "restarting",
    }
}

/// A step of the work in a sentence, with its figures.
pub fn act(act: &Act, say: Say) -> String {
    match act {
        Act::WalkFirst => {
            "Walk the line: anchors set, joints made, drains free, nobody below.".to_owned()
        }
        Act::OpenCocks(at) => format!("Open the vents by hand at {}.", say.stations(at)),
        Act::CheckVents(at) => format!(
            "See that the vents at {} are free and open.",
            say.stations(at)
        ),
        Act::ShutDrains(at) => format!("Shut the drains at {}.", say.stations(at)),
        Act::OpenDrains(at) => format!("Open the drains in this order: {}.", say.stations(at)),
        Act::CrackLowerEnd => {
            "Crack the turbine valve or one jet open, so that the air of the last leg can leave."
                .to_owned()
        }
        Act::Prime(at) => format!(
            "Prime the siphon: with the lower end shut, fill it at its crest, {}.",
            say.station(*at)
        ),
        Act::FillAt {
            flow_m3_per_s,
            time_s,
        } => format!(
            "Open the head valve to {} and no more; water shows at the lower end after about {}.",
            say.flow(*flow_m3_per_s),
            minutes(*time_s)
        ),
        Act::WaitAtCrest {
            station_m,
            after_s,
            by_hand,
        } => format!(
            "After about {} the water passes the crest at {}: wait until it runs without air{}.",
            minutes(*after_s),
            say.station(*station_m),
            if *by_hand {
                ", then shut the cock there"
            } else {
                ""
            }
        ),
        Act::ReadShutGauge {
            pressure_pa,
            low_by_pa,
        } => {
            let low = if *low_by_pa > 0.0 {
                format!(
                    " Air that may stay would take {} off it.",
                    say.pressure(*low_by_pa)
                )
            } else {
                String::new()
            };
            format!(
                "Shut the lower end slowly and read the gauge: {}. Less means air.{low}",
                say.pressure(*pressure_pa)
            )
        }
        Act::HoldStanding {
            pressure_pa,
            time_s,
        } => format!(
            "Hold the standing pressure, {} at the lower end, for {} and look at every joint.",
            say.pressure(*pressure_pa),
            minutes(*time_s)
        ),
        Act::HoldTest {
            pressure_pa,
            time_s,
            loss_pa,
        } => format!(
            "Raise it with a hand pump to {} at the lower end, hold for {}; at most {} may be lost.",
            say.pressure(*pressure_pa),
            minutes(*time_s),
            say.pressure(*loss_pa)
        ),
        Act::ShutHeadValve => "Shut the head valve slowly.".to_owned(),
        Act::ShutLowerEnd => "Shut the jets and the lower end slowly, one by one.".to_owned(),
        Act::OpenHeadValve => "Open the head valve slowly.".to_owned(),
        Act::OpenVentBelowHeadValve(at) => {
            format!(
                "Open the vent below the head valve, at {}.",
                say.station(*at)
            )
        }
        Act::EmptyAtLowerEnd { time_s } => {
            format!(
                "Let the line empty at its lower end; it takes about {}.",
                minutes(*time_s)
            )
        }
        Act::Stays {
            station_m,
            volume_m3,
        } => format!(
            "{} of water stays in the low at {}.",
            say.volume(*volume_m3),
            say.station(*station_m)
        ),
        Act::FlushAt {
            flow_m3_per_s,
            speed_m_per_s,
            time_s,
        } => format!(
            "Flush at {} ({} in the widest bore) for {}.",
            say.flow(*flow_m3_per_s),
            say.speed(*speed_m_per_s),
            minutes(*time_s)
        ),
        Act::OpenJets => "Open the jets slowly, one by one.".to_owned(),
        Act::OpenToRestart(at) => format!(
            "It does not restart by itself: open the vents at {}.",
            say.stations(at)
        ),
        Act::CannotRestart => {
            "It locks even with every cock open: set the wanted vents first.".to_owned()
        }
    }
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
