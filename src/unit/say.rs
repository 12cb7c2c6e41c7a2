use super::Units;
use super::exact::FOOT_M;
use crate::text::{Fault, Length, Sentence};

impl Units {
    /// A sentence with its lengths in these units: feet have as many decimals as the metres would, at most two.
    pub fn say(self, sentence: &Sentence) -> String {
        match self {
            Self::Metric => sentence.to_string(),
            Self::Us => sentence.told(feet),
        }
    }

    /// A fault with its lengths in these units.
    #[must_use]
    pub fn fault(self, mut fault: Fault) -> Fault {
        let said = |sentence: &mut Sentence| *sentence = self.say(sentence).into();
        said(&mut fault.text);
        [&mut fault.found, &mut fault.expected, &mut fault.advice]
            .into_iter()
            .flatten()
            .for_each(said);
        fault
    }
}

fn feet(length: Length) -> String {
    format!("{} ft", length.at_most(2).figure(FOOT_M))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::Place;

    #[test]
    fn metres_become_feet_and_names_stay() {
        let told = Sentence::from("\"walk 12 m up\" stands ")
            .offset(0.12, 3)
            .words(" off, from ")
            .length(380.0, 1)
            .words(" to ")
            .length(430.5, 1)
            .words(", 2 m/s, within ")
            .length(40.0, 0);
        assert_eq!(Units::Metric.say(&told), &*told);
        assert_eq!(
            Units::Us.say(&told),
            "\"walk 12 m up\" stands +0.39 ft off, from 1246.7 ft to 1412.4 ft, 2 m/s, within 131 ft"
        );
        let short = Sentence::default().short(1017.0 * FOOT_M);
        assert_eq!(Units::Us.say(&short), "1017 ft");
    }

    #[test]
    fn a_fault_is_told_whole() {
        let off = |m| Sentence::default().length(m, 0);
        let fault = Fault::new(Place::file("a.csv"), off(30.48))
            .found(off(60.96))
            .expected("a place")
            .advice(off(3.048));
        let told = Units::Us.fault(fault.clone());
        assert_eq!(told.text, "100 ft");
        assert_eq!(told.found.as_deref(), Some("200 ft"));
        assert_eq!(told.expected.as_deref(), Some("a place"));
        assert_eq!(told.advice.as_deref(), Some("10 ft"));
        assert_eq!(
            Units::Metric.fault(fault.clone()).to_string(),
            fault.to_string()
        );
    }
}
