use crate::text::{Fault, Place, Sentence};

/// A value with the place where the user said it, so that a later room can point there.
#[derive(Debug, Clone, PartialEq)]
pub struct Located<T> {
    /// What was said.
    pub value: T,
    /// Where; the key is a path such as "pipe.spec".
    pub place: Place,
    /// The line it stands on, for the caret.
    pub source_line: String,
}

impl<T> Located<T> {
    /// A fault at the place where this was said.
    pub fn fault(&self, text: impl Into<Sentence>) -> Fault {
        let fault = Fault::new(self.place.clone(), text);
        if self.source_line.is_empty() {
            fault
        } else {
            fault.source_line(&self.source_line)
        }
    }

    /// This value, said at the same place.
    pub fn with<U>(self, value: U) -> Located<U> {
        self.map(|_| value)
    }

    /// Another value said at the same place.
    pub fn map<U>(self, turn: impl FnOnce(T) -> U) -> Located<U> {
        Located {
            value: turn(self.value),
            place: self.place,
            source_line: self.source_line,
        }
    }
}
