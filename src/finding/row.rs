//! What is always the same of a finding: its code, the word for it, its page, what it harms.

/// What a finding harms, were nothing done about it: the order among findings of one severity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Harm {
    /// People: pressure that breaks out, something that is thrown.
    People,
    /// The plant: pipe pressed flat, joints drawn open, what holds the line.
    Plant,
    /// What the plant gives: water that does not come, power that is lost.
    Power,
    /// The purse alone, or a figure to look up.
    Purse,
}

/// The row of a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct RuleRow {
    /// What programs know it by: it stays, whatever becomes of the words.
    pub(super) code: &'static str,
    /// The word it is called by in result.json.
    pub(super) word: &'static str,
    /// The page of the basis that it rests on.
    pub(super) basis: &'static str,
    /// What it harms.
    pub(super) harm: Harm,
}

/// What every finding tells of itself.
pub(super) trait Ruled {
    /// Its row.
    fn row(&self) -> RuleRow;

    /// Whose matter it is beside its place: the movement, the state, the pipe or the thing it names.
    fn subject(&self) -> &str {
        ""
    }
}

/// A finding: the figures that result.json has of it, and its rows, one for each of its codes: `case => code, word, page, harm;`. `of subject |x| ...` tells whose matter it is.
macro_rules! rows {
    ($(of subject |$of:ident| $subject:expr;)? $(#[$about:meta])* pub $form:ident $kind:ident { $($figures:tt)* } $($case:pat => $code:literal, $word:expr, $basis:literal, $harm:ident;)+) => {
        #[derive(Debug, Clone, PartialEq, serde::Serialize)]
        #[cfg_attr(test, derive(schemars::JsonSchema))]
        $(#[$about])*
        pub $form $kind { $($figures)* }

        impl $kind {
            /// Every code that it may have.
            #[cfg(test)]
            pub(in crate::finding) const CODES: &[&str] = &[$($code),+];
        }

        impl $crate::finding::row::Ruled for $kind {
            fn row(&self) -> $crate::finding::row::RuleRow {
                match self {
                    $($case => $crate::finding::row::RuleRow { code: $code, word: $word, basis: $basis, harm: $crate::finding::row::Harm::$harm },)+
                }
            }

            $(fn subject(&self) -> &str {
                let $of = self;
                $subject
            })?
        }
    };
}
pub(super) use rows;
