use super::Trouble;
use super::arguments::Size;
use super::check::on_line;
use super::exit::print;
use super::output::units;
use super::progress::Progress;
use super::screen::look;
use crate::json;
use crate::site;
use crate::size::{self, NoSizes, SizeOptions};
use crate::terminal::size as words;
use crate::text::{Fault, Place, neutral};
use std::process::ExitCode;

/// Pipe sizes, classes and jets side by side.
pub fn run(arguments: &Size) -> Result<ExitCode, Trouble> {
    let site = site::read_file(&arguments.site)?;
    let progress = Progress::start(arguments.common.quiet, "running sizes side by side");
    let units = units(arguments.common.units, site.units);
    let (_, line) = on_line(&site).map_err(|t| t.in_units(units))?;
    let options = SizeOptions {
        of: arguments.of.clone(),
        show: arguments.show.max(1),
        march: true,
    };
    let sizes = size::study(&line, &options).map_err(|why| none(&why, arguments))?;
    drop(progress);
    let value = crate::keys::rounded(crate::json::size::value(&sizes, &line));
    if let Some(folder) = &arguments.common.out {
        crate::folder::write(
            folder,
            &[("result.json".to_owned(), json::printed(&value).into_bytes())],
            &site::files_read(&site),
        )?;
    }
    if arguments.common.json {
        print(&json::printed(&value))?;
    } else if !arguments.common.quiet {
        print(&words::text(
            &sizes,
            &neutral(&line.title),
            &line,
            units,
            &look(),
        ))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn none(why: &NoSizes, arguments: &Size) -> Fault {
    let fault = |text: &str| Fault::new(Place::file(arguments.site.display().to_string()), text);
    match why {
        NoSizes::NoSuchPipe(words) => fault("no pressure pipe of the catalogue fits the words of --of").found(words).advice("look with `steadyfall pipes`; fewer words fit more"),
        NoSizes::OwnPipe => fault("the pipe of this site is not from the catalogue, so it is not known what to compare it with")
            .expected("words of the catalogue")
            .advice("say what to look through: --of \"PE100\""),
        NoSizes::NothingToSize => fault("there is nothing to size").expected("a [[pipe]] and a [turbine] in the site file").advice("add them; any pipe will do to begin with"),
    }
}
