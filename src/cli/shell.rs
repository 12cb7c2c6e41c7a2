use super::Trouble;
use super::arguments::{Arguments, Shell, ShellWord};
use super::exit::print;
use clap::CommandFactory;
use clap_complete::Shell as Kind;
use std::process::ExitCode;

/// Writes completions to standard output, or man pages into a folder.
pub fn run(arguments: &Shell) -> Result<ExitCode, Trouble> {
    let mut command = Arguments::command();
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

fn man(command: clap::Command, arguments: &Shell) -> Result<ExitCode, Trouble> {
    match &arguments.out {
        Some(folder) => {
            std::fs::create_dir_all(folder)?;
            clap_mangen::generate_to(command, folder)?;
        }
        None => {
            let mut bytes = Vec::new();
            clap_mangen::Man::new(command).render(&mut bytes)?;
            print(&String::from_utf8_lossy(&bytes))?;
        }
    }
    Ok(ExitCode::SUCCESS)
}
