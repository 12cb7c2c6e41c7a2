use super::CliError;
use super::arguments::SizeArguments;
use super::exit::print;
use super::output::units;
use super::progress::Progress;
use super::screen::look;
use crate::json;
use crate::site;
use crate::size::{self, NoSizes, SizeOptions};
use crate::study::on_line;
use crate::terminal::size as words;
use crate::text::{Fault, Place, neutral};
use crate::words::no_sizes;
use std::process::ExitCode;

/// Pipe sizes, classes and jets side by side.
pub fn run(arguments: &SizeArguments) -> Result<ExitCode, CliError> {
    let site = site::read_file(&arguments.site)?;
    let progress = Progress::start(arguments.common.quiet, "calculating pipe sizes");
    let units = units(arguments.common.units, site.units);
    let (_, line) = on_line(&site).map_err(|f| CliError::from(f).in_units(units))?;
    let options = SizeOptions {
        of: arguments.of.clone(),
        show: arguments.show.max(1),
        march: true,
    };
    let sizes = size::study(&line, &options).map_err(|why| none(&why, arguments))?;
    drop(progress);
    let value = json::rounded(json::size::value(&sizes, &line));
    if let Some(folder) = &arguments.common.out {
        crate::folder::write(
            folder,
            &[("result.json".to_owned(), json::printed(&value).into_bytes())],
            &site::files_read(&site),
        )?;
    }
    if arguments.common.brief {
        let brief = words::brief(&sizes, &neutral(&line.heading.title), &line, units);
        print(&json::printed(&brief))?;
    } else if arguments.common.json {
        print(&json::printed(&value))?;
    } else if !arguments.common.quiet {
        print(&words::text(
            &sizes,
            &neutral(&line.heading.title),
            &line,
            units,
            &look(),
        ))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn none(why: &NoSizes, arguments: &SizeArguments) -> Fault {
    let fault = |text: &str| Fault::new(Place::file(arguments.site.display().to_string()), text);
    match why {
        NoSizes::NoSuchPipe(words) => {
            fault("no pressure pipe in the catalogue has the words of --of")
                .found(words)
                .advice("use fewer words; see `steadyfall pipes`")
        }
        NoSizes::OwnPipe => fault(no_sizes(why))
            .expected("words of the catalogue")
            .advice("give the pipes to compare: --of \"PE100\""),
        NoSizes::NothingToSize => fault(no_sizes(why))
            .expected("a [[pipe]] and a [turbine] in the site file")
            .advice("add them; any pipe is good enough at first"),
    }
}
