use super::CliError;
use super::arguments::{Arguments, ShellArguments, ShellWord};
use super::exit::print;
use crate::text::{Fault, Place};
use clap::CommandFactory;
use clap_complete::Shell as Kind;
use std::process::ExitCode;

/// Writes completions to standard output, or man pages into a folder.
pub fn run(arguments: &ShellArguments) -> Result<ExitCode, CliError> {
    let mut command = Arguments::command();
    if let (Some(out), false) = (&arguments.out, arguments.what == ShellWord::Man) {
        return Err(Fault::new(
            Place::default().key("--out"),
            "completions go to standard output, not to a folder",
        )
        .found(out.display().to_string())
        .expected("--out only with `shell man`")
        .advice("remove --out, and send the output to a file of your shell")
        .into());
    }
    let kind = match arguments.what {
        ShellWord::Bash => Kind::Bash,
        ShellWord::Zsh => Kind::Zsh,
        ShellWord::Fish => Kind::Fish,
        ShellWord::Powershell => Kind::PowerShell,
        ShellWord::Elvish => Kind::Elvish,
        ShellWord::Man => return man(command, arguments),
    };
    let mut bytes = Vec::new();
    clap_complete::generate(kind, &mut command, "steadyfall", &mut bytes);
    print(&String::from_utf8_lossy(&bytes))?;
    Ok(ExitCode::SUCCESS)
}

fn man(command: clap::Command, arguments: &ShellArguments) -> Result<ExitCode, CliError> {
    match &arguments.out {
        Some(folder) => {
            std::fs::create_dir_all(folder)
                .and_then(|()| clap_mangen::generate_to(command, folder))
                .map_err(|e| {
                    Fault::new(
                        Place::file(folder.display().to_string()),
                        "man pages cannot be written here",
                    )
                    .found(e.to_string())
                    .advice("give a folder that you can write to")
                })?;
        }
        None => {
            let mut bytes = Vec::new();
            clap_mangen::Man::new(command).render(&mut bytes)?;
            print(&String::from_utf8_lossy(&bytes))?;
        }
    }
    Ok(ExitCode::SUCCESS)
}
