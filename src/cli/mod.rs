//! The command line: one file a command.

use std::process::ExitCode;

/// Runs the program on the process's own arguments.
pub fn main() -> ExitCode {
    ExitCode::SUCCESS
}
