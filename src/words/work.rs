use super::Say;
use crate::air::{Act, AirOut, Job, NoTest};

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
        Act::SetVentsFirst(at) => format!(
            "Set the wanted vents at {} first: with what stands it locks, even with every cock open.",
            say.stations(at)
        ),
        Act::VentsDoNotCure => "As it lies it locks, and no vent cures that: lay it so that it falls before filling.".to_owned(),
        Act::OpenCocks(at) => format!("Open the vents by hand at {}.", say.stations(at)),
        Act::OpenCocksAsItFalls(at) => {
            let all: Vec<String> = at
                .iter()
                .map(|(s, pa)| format!("{} at {}", say.station(*s), say.pressure(*pa)))
                .collect();
            format!(
                "Open the cocks, the highest first, each once the gauge at the lower end has fallen so far: {}.",
                all.join(", ")
            )
        }
        Act::ShutCocks(at) => format!("Shut the cocks at {}.", say.stations(at)),
        Act::CheckVents(at) => format!(
            "See that {} free and open.",
            one_or_more("the vent", at, say)
        ),
        Act::ShutDrains(at) => format!("Shut {}.", drains(at, say)),
        Act::OpenDrains(at) if at.len() == 1 => format!("Open {}.", drains(at, say)),
        Act::OpenDrains(at) => {
            format!("Open the drains in this order: {}.", say.stations(at))
        }
        Act::FlushDrains(at) if at.len() == 1 => {
            format!("Open {} until it runs clear.", drains(at, say))
        }
        Act::FlushDrains(at) => format!(
            "Open the drains in this order, each until it runs clear: {}.",
            say.stations(at)
        ),
        Act::CrackLowerEnd(valve) => format!(
            "Crack {} or one jet open, so that the air of the last leg can leave.",
            valve.as_deref().unwrap_or("the valve at the lower end")
        ),
        Act::Prime(at) => format!(
            "Prime the siphon: with the lower end shut, fill it at its crest, {}, until no more air comes, and shut the cock there.",
            say.station(*at)
        ),
        Act::FillAt {
            valve,
            flow_m3_per_s,
            time_s,
        } => format!(
            "{} {} and no more; water shows at the lower end after about {}.",
            match valve {
                Some(name) => format!("Open {name} to"),
                None => "Let in at the intake".to_owned(),
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
                    "After about {when} the water passes the crest at {at}: wait there until the vent has let the air out."
                ),
                AirOut::ByHand => format!(
                    "After about {when} the water passes the crest at {at}: wait until it runs without air, then shut the cock there."
                ),
                AirOut::Nothing => format!(
                    "After about {when} the water passes the crest at {at}, where nothing lets the air out: go on as slowly, and let what air comes leave at the lower end."
                ),
            }
        }
        Act::IfNoWaterComes { after_s } => format!(
            "If after {} no water shows at the lower end, it has locked: shut the water off at the intake, drain, and vent the climbs before another try.",
            minutes(*after_s)
        ),
        Act::ReadShutGauge {
            pressure_pa,
            low_by_pa,
            over_s,
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
                "Once it runs without air, shut the lower end {} and read the gauge there: {}. Less means air.{low}",
                slowly(*over_s, say),
                say.pressure(*pressure_pa)
            )
        }
        Act::HoldStanding {
            pressure_pa,
            time_s,
        } => format!(
            "Hold the standing pressure, {} on the gauge at the lower end, for {} and look at every joint.",
            say.pressure(*pressure_pa),
            minutes(*time_s)
        ),
        Act::PlugForTest {
            valve,
            standpipes_m,
            valves_m,
        } => {
            let mut parts = vec![format!("shut {valve}")];
            if !standpipes_m.is_empty() {
                parts.push(format!("plug the standpipe at {}", say.stations(standpipes_m)));
            }
            if !valves_m.is_empty() {
                parts.push(format!(
                    "shut the cock beneath the vent at {}",
                    say.stations(valves_m)
                ));
            }
            let mut text = parts.join(", ");
            if let Some(letter) = text.get_mut(0..1) {
                letter.make_ascii_uppercase();
            }
            format!("{text}: what is open lets the test pressure out.")
        }
        Act::HoldTest {
            pressure_pa,
            time_s,
            loss_pa,
        } => format!(
            "Raise it with a hand pump at the lower end until the gauge there shows {}, hold for {}; at most {} may be lost. Polyethylene gives way at first: top up, then count.",
            say.pressure(*pressure_pa),
            minutes(*time_s),
            say.pressure(*loss_pa)
        ),
        Act::UnplugAfterTest(at) if at.is_empty() => {
            "Let the pressure down at the lower end.".to_owned()
        }
        Act::UnplugAfterTest(at) => format!(
            "Let the pressure down at the lower end first; then open again what was plugged or shut at {}.",
            say.stations(at)
        ),
        Act::NoHigherTest(why) => match why {
            NoTest::NoHeadValve => "No valve is named at the intake, so nothing holds a pressure above the standing one: the standing one is the test.".to_owned(),
            NoTest::NoRating => "A rating is not known, so no test above the standing pressure can be named.".to_owned(),
            NoTest::Weakest(most_pa) => format!(
                "No test above the standing pressure: the weakest part lets no more than {} stand at the lower end.",
                say.pressure(*most_pa)
            ),
        },
        Act::ShutHeadValve(valve) => format!("Shut {valve} slowly."),
        Act::CutWater => "Lead the water away from the intake, so that air follows into the mouth of the pipe.".to_owned(),
        Act::ShutLowerEnd { over_s } => format!(
            "Shut the jets and the lower end {}, one by one.",
            slowly(*over_s, say)
        ),
        Act::OpenHeadValve(valve) => format!("Open {valve} slowly, all the way."),
        Act::OpenVentBelowHeadValve(at) => format!(
            "See that the vent below the head valve, at {}, is open.",
            say.station(*at)
        ),
        Act::NoVentBelowHeadValve(at) => format!(
            "No vent that lets air in stands below the head valve (one is wanted at {}): leave that valve open, for shut on a full pipe it would let it be sucked flat.",
            say.station(*at)
        ),
        Act::EmptyAtLowerEnd { time_s } => format!(
            "Open the lower end and let the line empty; it takes about {}. The gauge there must come to nought.",
            minutes(*time_s)
        ),
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
            short,
        } => format!(
            "With the line full and the lower end open beside the jets, not through them, flush at {} ({} in the widest bore) for {}.{}",
            say.flow(*flow_m3_per_s),
            say.speed(*speed_m_per_s),
            minutes(*time_s),
            if *short {
                " The stream gives no more: that moves only what is fine, so wait for high water to do it well."
            } else {
                ""
            }
        ),
        Act::OpenJets { over_s, running_pa } => format!(
            "Open the jets {}, one by one.{}",
            slowly(*over_s, say),
            running_pa.map_or_else(String::new, |pa| format!(
                " With all open the gauge at the lower end should show {}; if it shows less after a while, air has gathered.",
                say.pressure(pa)
            ))
        ),
        Act::OpenToRestart(at) => format!(
            "With nobody there it does not start surely: open the vents by hand at {}.",
            say.stations(at)
        ),
    }
}

/// "slowly", with the time where it is known.
fn slowly(over_s: Option<f64>, say: Say) -> String {
    over_s.map_or_else(
        || "slowly".to_owned(),
        |s| format!("slowly, over {} at the least", say.counted(s)),
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
