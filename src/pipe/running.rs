use std::fmt;

/// Which running state of the plant: its identity. Two states are one state where these are equal; how it is called is how it is shown.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum RunState {
    /// Everything shut: "shut".
    Shut,
    /// So many of the jets, in their order, fewer than all: "1 jet", "2 jets".
    Jets(usize),
    /// Every jet: "all jets".
    AllJets,
    /// A machine of a fixed flow at that flow: "running".
    Running,
    /// A state that the user declared under a name of its own.
    Case(String),
}

impl RunState {
    /// The states that a plant of so many jets has by itself.
    pub fn of_jets(count: usize) -> Vec<Self> {
        let some = (1..count).map(Self::Jets);
        std::iter::once(Self::Shut)
            .chain(some)
            .chain([Self::AllJets])
            .collect()
    }

    /// The states that a plant of a fixed flow has by itself.
    pub fn of_flow() -> Vec<Self> {
        vec![Self::Shut, Self::Running]
    }

    /// The state meant by a name, beside those that the plant has by itself: one of these, or the user's own. "running" is every jet where there are jets.
    pub fn named(name: &str, by_itself: &[Self]) -> Self {
        let called = |state: &&Self| state.to_string() == name;
        let known = by_itself.iter().find(called).cloned();
        let all = || {
            (name == Self::Running.to_string() && by_itself.contains(&Self::AllJets))
                .then_some(Self::AllJets)
        };
        known
            .or_else(all)
            .unwrap_or_else(|| Self::Case(name.into()))
    }

    /// Everything runs: every jet, or the machine's fixed flow.
    pub fn is_everything(&self) -> bool {
        matches!(self, Self::AllJets | Self::Running)
    }
}

impl fmt::Display for RunState {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Shut => f.write_str("shut"),
            Self::Jets(1) => f.write_str("1 jet"),
            Self::Jets(count) => write!(f, "{count} jets"),
            Self::AllJets => f.write_str("all jets"),
            Self::Running => f.write_str("running"),
            Self::Case(name) => f.write_str(name),
        }
    }
}

/// What a state is called, in a schema.
#[cfg(test)]
impl schemars::JsonSchema for RunState {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "RunState".into()
    }

    fn json_schema(of: &mut schemars::SchemaGenerator) -> schemars::Schema {
        String::json_schema(of)
    }
}

impl serde::Serialize for RunState {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_state_is_found_by_what_it_is_called() {
        for own in [
            RunState::of_jets(4),
            RunState::of_jets(1),
            RunState::of_flow(),
        ] {
            for state in &own {
                assert_eq!(RunState::named(&state.to_string(), &own), *state);
            }
        }
        let jets = RunState::of_jets(3);
        let called: Vec<String> = jets.iter().map(ToString::to_string).collect();
        assert_eq!(called, ["shut", "1 jet", "2 jets", "all jets"]);
        assert_eq!(RunState::named("running", &jets), RunState::AllJets);
        // a number of jets that there are not is no state of the plant
        let more = RunState::named("3 jets", &jets);
        assert_eq!(more, RunState::Case("3 jets".to_owned()));
    }
}
