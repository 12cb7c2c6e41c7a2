//! All that is wrong with an input, told at once.

use super::Fault;
use std::fmt;
use std::ops::Deref;

/// All that is wrong with an input, in the order of the file: the one error of whatever reads.
///
/// It derefs to its faults. It prints each as [`Fault`] does, one below the other. A single [`Fault`] becomes one by `?`.
#[derive(Debug, Clone, PartialEq)]
pub struct Faults(Vec<Fault>);

impl Deref for Faults {
    type Target = [Fault];

    fn deref(&self) -> &[Fault] {
        &self.0
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, fault) in self.0.iter().enumerate() {
            write!(f, "{}{fault}", if i > 0 { "\n" } else { "" })?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}

impl From<Fault> for Faults {
    fn from(fault: Fault) -> Self {
        Self(vec![fault])
    }
}

impl From<Vec<Fault>> for Faults {
    fn from(faults: Vec<Fault>) -> Self {
        Self(faults)
    }
}

impl From<Faults> for Vec<Fault> {
    fn from(faults: Faults) -> Self {
        faults.0
    }
}

impl FromIterator<Fault> for Faults {
    fn from_iter<I: IntoIterator<Item = Fault>>(faults: I) -> Self {
        Self(faults.into_iter().collect())
    }
}

impl IntoIterator for Faults {
    type Item = Fault;
    type IntoIter = std::vec::IntoIter<Fault>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<'a> IntoIterator for &'a Faults {
    type Item = &'a Fault;
    type IntoIter = std::slice::Iter<'a, Fault>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::Place;
    use std::error::Error;

    fn two() -> Result<(), Box<dyn Error>> {
        let of = |text: &str| Fault::new(Place::file("site.toml"), text);
        Err(Faults::from(vec![of("no pipe"), of("no turbine")]))?;
        Ok(())
    }

    #[test]
    fn a_list_of_faults_is_one_error_that_tells_each() {
        let error = two().unwrap_err();
        assert_eq!(
            error.to_string(),
            "site.toml: no pipe\nsite.toml: no turbine"
        );
        let faults = error.downcast_ref::<Faults>().unwrap();
        assert_eq!(faults.len(), 2);
        assert_eq!(faults.first().unwrap().place.file, "site.toml");
    }

    #[test]
    fn one_fault_becomes_the_list_of_itself() {
        fn reads() -> Result<(), Faults> {
            Err(Fault::new(Place::file("walk.gpx"), "no points"))?;
            Ok(())
        }
        assert_eq!(reads().unwrap_err().to_string(), "walk.gpx: no points");
    }
}
