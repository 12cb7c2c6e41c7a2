//! The command line: one file a command.

mod arguments;
mod basis;
mod check;
mod compare;
mod demo;
mod exit;
mod log;
mod new;
mod output;
mod pipes;
mod progress;
mod screen;
mod shell;
mod size;
mod survey;

use arguments::{Arguments, Command};
use clap::Parser;
pub use exit::Trouble;
use std::process::ExitCode;

/// Runs the program on the process's own arguments.
pub fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help and version are no error; a wrong call is status 2.
            let _ = error.print();
            return if error.use_stderr() {
                ExitCode::from(2)
            } else {
                ExitCode::SUCCESS
            };
        }
    };
    match run(arguments) {
        Ok(code) => code,
        Err(trouble) => trouble.tell(),
    }
}

fn run(arguments: Arguments) -> Result<ExitCode, Trouble> {
    match arguments.command {
        Command::Pipes(a) => pipes::run(&a),
        Command::Basis(a) => basis::run(&a),
        Command::Shell(a) => shell::run(&a),
        Command::Check(a) => check::run(&a),
        Command::Survey(a) => survey::run(&a),
        Command::Demo(a) => demo::run(&a),
        Command::New(a) => new::run(&a),
        Command::Size(a) => size::run(&a),
        Command::Compare(a) => compare::run(&a),
        Command::Log(a) => log::run(&a),
    }
}
