//! Which elements are GPX's own: prefixes and the namespaces they stand for.

/// Namespaces of GPX itself begin so.
const OURS: &str = "http://www.topografix.com/GPX/1/";

/// More declarations in force at once than any file needs; a file that piles them up would make every look-up slow.
const MOST: usize = 256;

/// The namespaces in force at a place in the file.
///
/// An element is GPX's own when its namespace is the root's, or one of GPX's, or none at all: many receivers write no namespace or a wrong one.
/// A prefix that nothing declares is somebody else's.
#[derive(Debug, Default)]
pub(super) struct Names<'a> {
    bound: Vec<Bound<'a>>,
    root: Option<String>,
}

#[derive(Debug)]
struct Bound<'a> {
    depth: usize,
    prefix: &'a str,
    ours: bool,
}

/// Too many declarations.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct TooMany;

impl<'a> Names<'a> {
    /// Takes what an element at this depth declares: `prefix` is empty for the default namespace.
    pub(super) fn declare(
        &mut self,
        depth: usize,
        prefix: &'a str,
        namespace: &str,
    ) -> Result<(), TooMany> {
        if self.bound.len() >= MOST {
            return Err(TooMany);
        }
        let namespace = namespace.trim();
        let ours = namespace.is_empty()
            || namespace.starts_with(OURS)
            || self.root.as_deref() == Some(namespace);
        self.bound.push(Bound {
            depth,
            prefix,
            ours,
        });
        Ok(())
    }

    /// Makes the namespace of the root element ours, whatever it is; `declared` are the declarations on the root.
    pub(super) fn set_root(&mut self, prefix: &str, declared: &[(&'a str, String)]) {
        let root = declared.iter().rev().find(|(p, _)| *p == prefix);
        self.root = root.map(|(_, namespace)| namespace.trim().to_owned());
    }

    /// Forgets what elements at this depth or deeper declared.
    pub(super) fn leave(&mut self, depth: usize) {
        while self.bound.last().is_some_and(|b| b.depth >= depth) {
            self.bound.pop();
        }
    }

    /// The local name, if the element is GPX's own.
    pub(super) fn ours<'n>(&self, name: &'n str) -> Option<&'n str> {
        let colon = name.bytes().position(|b| b == b':');
        let split = colon.and_then(|at| Some((name.get(..at)?, name.get(at + 1..)?)));
        let Some((prefix, local)) = split else {
            // The road of nearly every element; comparing empty texts with each other would cost more than all the rest.
            let default = self.bound.iter().rev().find(|b| b.prefix.is_empty());
            return default.is_none_or(|b| b.ours).then_some(name);
        };
        let bound = self.bound.iter().rev().find(|b| b.prefix == prefix);
        bound.is_some_and(|b| b.ours).then_some(local)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ours_and_others() {
        let mut names = Names::default();
        assert_eq!(names.ours("ele"), Some("ele"));
        assert_eq!(names.ours("x:ele"), None);
        names
            .declare(1, "", "http://www.topografix.com/GPX/1/1")
            .unwrap();
        names.declare(1, "x", "urn:other").unwrap();
        names
            .declare(1, "g", "http://www.topografix.com/GPX/1/0")
            .unwrap();
        assert_eq!(names.ours("ele"), Some("ele"));
        assert_eq!(names.ours("g:ele"), Some("ele"));
        assert_eq!(names.ours("x:ele"), None);
        names.declare(3, "", "urn:other").unwrap();
        assert_eq!(names.ours("ele"), None);
        names.leave(3);
        assert_eq!(names.ours("ele"), Some("ele"));
    }

    #[test]
    fn a_root_with_a_wrong_namespace_is_still_ours() {
        let mut names = Names::default();
        names.set_root("", &[("", "https://example.org/gpx".to_owned())]);
        names.declare(1, "", "https://example.org/gpx").unwrap();
        assert_eq!(names.ours("trk"), Some("trk"));
    }

    #[test]
    fn declarations_do_not_pile_up() {
        let mut names = Names::default();
        for depth in 0..MOST {
            names.declare(depth, "", "urn:x").unwrap();
        }
        assert_eq!(names.declare(MOST, "", "urn:x"), Err(TooMany));
    }
}
