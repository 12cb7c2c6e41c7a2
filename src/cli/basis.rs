use super::CliError;
use super::arguments::BasisArguments;
use super::exit::print;
use crate::basis;
use crate::text::{Fault, Place, nearest};
use std::process::ExitCode;

/// Prints a page of the basis, or lists the topics.
pub fn run(arguments: &BasisArguments) -> Result<ExitCode, CliError> {
    let Some(topic) = &arguments.topic else {
        let topics: Vec<&str> = basis::topics().collect();
        print(&format!(
            "How each value is calculated, with its source and limits. Topics:\n\n{}\n\n`steadyfall basis TOPIC` prints one page.",
            topics
                .iter()
                .map(|t| format!("  {t}"))
                .collect::<Vec<_>>()
                .join("\n")
        ))?;
        return Ok(ExitCode::SUCCESS);
    };
    match basis::page(topic) {
        Some(page) => {
            print(page.text)?;
            Ok(ExitCode::SUCCESS)
        }
        None => {
            let fault = Fault::new(Place::default(), format!("there is no page on \"{topic}\""))
                .found(topic);
            Err(match nearest(topic, basis::topics()) {
                Some(near) => fault
                    .expected("one of the topics that `steadyfall basis` lists")
                    .advice(format!("did you mean {near}?")),
                None => fault
                    .expected("one of the topics that `steadyfall basis` lists")
                    .advice("run `steadyfall basis` for the list"),
            }
            .into())
        }
    }
}
