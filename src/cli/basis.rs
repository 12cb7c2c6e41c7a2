use super::Trouble;
use super::arguments::Basis;
use std::process::ExitCode;

/// Prints a page of the basis, or lists the topics.
pub fn run(_arguments: &Basis) -> Result<ExitCode, Trouble> {
    Err(Trouble::other("the pages are not embedded yet"))
}
