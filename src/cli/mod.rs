//! The command line: one file a command.

mod arguments;
mod basis;
mod check;
mod compare;
mod demo;
mod exit;
mod field;
mod fields;
mod log;
mod new;
mod output;
#[cfg(feature = "page")]
mod page;
mod pipes;
mod progress;
mod screen;
mod shell;
mod size;
mod survey;

use arguments::{Arguments, Command};
use clap::Parser;
pub use exit::CliError;
use std::process::ExitCode;

/// Runs the program on the process's own arguments.
pub fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help and version are no error; a wrong call is status 2.
            return if error.use_stderr() {
                exit::wrong_call(&error);
                ExitCode::from(2)
            } else {
                let _ = error.print();
                ExitCode::SUCCESS
            };
        }
    };
    let form = arguments.faults;
    match run(arguments) {
        Ok(code) => code,
        Err(trouble) => trouble.tell(form),
    }
}

fn run(arguments: Arguments) -> Result<ExitCode, CliError> {
    match arguments.command {
        Command::Pipes(a) => pipes::run(&a),
        Command::Basis(a) => basis::run(&a),
        Command::Shell(a) => shell::run(&a),
        #[cfg(feature = "page")]
        Command::Page(a) => page::run(&a),
        Command::Fields(a) => fields::run(&a),
        Command::Field(a) => field::run(&a),
        Command::Check(a) => check::run(&a),
        Command::Survey(a) => survey::run(&a),
        Command::Demo(a) => demo::run(&a),
        Command::New(a) => new::run(&a),
        Command::Size(a) => size::run(&a),
        Command::Compare(a) => compare::run(&a),
        Command::Log(a) => log::run(&a),
    }
}
