//! A results folder is written all or nothing, beside its place, and swapped in whole.

mod beside;
mod directory;
#[cfg(not(target_family = "wasm"))]
mod disk;
#[cfg(target_family = "wasm")]
#[path = "sandbox.rs"]
mod disk;
#[cfg(test)]
mod pretend;
mod result_file;
mod swap;
mod written;

pub use beside::write_beside;
pub use result_file::{Kept, ResultFile};

use crate::text::Fault;
use disk::Disk;
use result_file::{failed, fault};
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::{fs, io};
use swap::Swap;

/// Writes a results folder all or nothing.
///
/// The files are written beside it under a partial name, synced, and swapped in whole. A folder that is not ours is refused, and so is a link at any
/// step: every name is looked up in the open folder above it. `inputs` are the files that this run read; none of them is replaced or removed.
/// What an earlier run wrote goes, by the list it left; what others put there stays, and what they changed is kept under another name.
/// A run that was stopped in the middle is mended by the next one: the old results stay whole until the new ones are.
///
/// # Errors
/// A [`Fault`] that names the folder and says what to do; nothing of the old results is lost then.
pub fn write(folder: &Path, sheets: &[ResultFile], inputs: &[PathBuf]) -> Result<Vec<Kept>, Fault> {
    let name = folder.file_name().ok_or_else(|| {
        fault(folder, "no folder can be made here")
            .expected("a folder with a name of its own")
            .advice("give --out the path of a new folder")
    })?;
    let above = match folder.parent() {
        Some(path) if !path.as_os_str().is_empty() => path,
        _ => Path::new("."),
    };
    let cannot = |e: io::Error| failed(folder, "results cannot be written here", &e);
    fs::create_dir_all(above).map_err(cannot)?;
    not_an_input(folder, sheets, inputs)?;
    Swap::new(&Disk::at(above).map_err(cannot)?, name, folder).write(sheets)
}

/// Refuses to write a sheet over a file that this run read.
fn not_an_input(folder: &Path, sheets: &[ResultFile], inputs: &[PathBuf]) -> Result<(), Fault> {
    let Ok(home) = fs::canonicalize(folder) else {
        return Ok(());
    };
    for input in inputs {
        let Ok(path) = fs::canonicalize(input) else {
            continue;
        };
        let replaced = path.parent() == Some(&home)
            && sheets
                .iter()
                .any(|(name, _)| path.file_name() == Some(OsStr::new(name)));
        if replaced {
            return Err(fault(
                input,
                "this file was read in this run, and the results would replace it",
            )
            .expected("a results folder without the input files of this run")
            .advice("give --out another folder, or move the file to another folder"));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests;
