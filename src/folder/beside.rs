//! A file of ours beside the user's own: written anew as long as it stands as a run wrote it, never once somebody changed it.

use super::directory::{Directory, EntryKind};
use super::disk::Disk;
use super::result_file::{failed, fault};
use crate::text::{Fault, digest};
use std::ffi::{OsStr, OsString};
use std::io;
use std::path::{Path, PathBuf};

/// What stands before the digest in the last line.
const SEAL: &str = "# Written by steadyfall. The next run replaces this file only if nothing above this row was changed. sha256 ";

/// No file of ours is longer.
const LONGEST: u64 = 1 << 20;

/// Names that are tried: more changed copies nobody keeps.
const NAMES: u32 = 1000;

/// Writes a text beside a file of the user's, with the digest of it in its last line.
///
/// A file of that name which a run of ours wrote, and which stands as it was written, is replaced; any other stays, and the text goes under
/// the first free name of `name-2`, `name-3` and so on. Gives the path that was written.
///
/// # Errors
/// Where the folder or the file cannot be written.
pub fn write_beside(path: &Path, text: &str) -> Result<PathBuf, Fault> {
    let name = path.file_name().ok_or_else(|| {
        fault(path, "no file can be made here").expected("a file with a name of its own")
    })?;
    let above = match path.parent() {
        Some(above) if !above.as_os_str().is_empty() => above,
        _ => Path::new("."),
    };
    Disk::at(above)
        .and_then(|folder| write(&folder, name, text))
        .map(|name| path.with_file_name(name))
        .map_err(|e| failed(path, "this file cannot be written", &e))
}

/// The text with its seal.
pub(super) fn sealed(text: &str) -> String {
    format!("{text}\n{SEAL}{}\n", digest(text.as_bytes()))
}

/// Whether the bytes are a text with its seal, unchanged.
fn as_sealed(bytes: &[u8]) -> bool {
    let seal = format!("\n{SEAL}");
    std::str::from_utf8(bytes)
        .ok()
        .and_then(|all| all.rsplit_once(seal.as_str()))
        .is_some_and(|(text, said)| said.trim_end() == digest(text.as_bytes()))
}

pub(super) fn write<D: Directory>(folder: &D, name: &OsStr, text: &str) -> io::Result<OsString> {
    let whole = sealed(text);
    for count in 1..NAMES {
        let name = numbered(name, count);
        match folder.kind(&name)? {
            None => {
                put(folder, &name, &whole)?;
                return Ok(name);
            }
            Some(EntryKind::File) if as_sealed(&folder.read(&name, LONGEST)?) => {
                if folder.read(&name, LONGEST)? != whole.as_bytes() {
                    put(folder, &name, &whole)?;
                }
                return Ok(name);
            }
            Some(_) => {}
        }
    }
    Err(io::Error::other("no name is free"))
}

/// Written whole under a hidden name, then given its own.
fn put<D: Directory>(folder: &D, name: &OsStr, whole: &str) -> io::Result<()> {
    let mut partial = OsString::from(".");
    partial.push(name);
    partial.push(".partial");
    // What a stopped run left.
    if folder.kind(&partial)? == Some(EntryKind::File) {
        folder.remove(&partial)?;
    }
    let done = folder.write(&partial, whole.as_bytes()).and_then(|()| {
        if folder.kind(name)?.is_some() {
            folder.remove(name)?;
        }
        folder.rename(&partial, folder, name)
    });
    if done.is_err() {
        // A full disk leaves nothing hidden behind.
        let _ = folder.remove(&partial);
    }
    folder.sync();
    done
}

/// The name itself, or with a number before its ending.
fn numbered(name: &OsStr, count: u32) -> OsString {
    if count < 2 {
        return name.to_owned();
    }
    let path = Path::new(name);
    let mut out = path.file_stem().unwrap_or(name).to_owned();
    out.push(format!("-{count}"));
    if let Some(ending) = path.extension() {
        out.push(".");
        out.push(ending);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::super::pretend::{Pretend, Rules};
    use super::*;

    fn run(disk: &Pretend, text: &str) -> io::Result<String> {
        write(disk, OsStr::new("walk-site.toml"), text)
            .map(|name| name.to_string_lossy().into_owned())
    }

    #[test]
    fn what_stands_as_written_is_written_anew_and_what_was_changed_is_not() {
        for rules in Rules::ALL {
            let disk = Pretend::new(rules);
            assert_eq!(run(&disk, "a = 1\n").unwrap(), "walk-site.toml");
            assert_eq!(run(&disk, "a = 2\n").unwrap(), "walk-site.toml");
            assert_eq!(disk.text("walk-site.toml").unwrap(), sealed("a = 2\n"));
            let mine = sealed("a = 2\n").replace("2", "3");
            disk.put("walk-site.toml", Some(&mine));
            assert_eq!(run(&disk, "a = 4\n").unwrap(), "walk-site-2.toml");
            assert_eq!(run(&disk, "a = 5\n").unwrap(), "walk-site-2.toml");
            assert_eq!(disk.text("walk-site.toml").unwrap(), mine);
            assert_eq!(disk.text("walk-site-2.toml").unwrap(), sealed("a = 5\n"));
            assert_eq!(disk.list(""), "walk-site-2.toml walk-site.toml");
        }
    }

    #[test]
    fn a_line_added_below_the_seal_makes_it_the_users_too() {
        let disk = Pretend::new(Rules::Unix);
        let mine = format!("{}[limits]\n", sealed("a = 1\n"));
        disk.put("walk-site.toml", Some(&mine));
        assert_eq!(run(&disk, "a = 1\n").unwrap(), "walk-site-2.toml");
        assert_eq!(disk.text("walk-site.toml").unwrap(), mine);
    }

    #[test]
    fn no_link_is_followed_and_no_folder_replaced() {
        let disk = Pretend::new(Rules::Unix);
        disk.put("real/letter.txt", Some("dear"));
        disk.link("walk-site.toml", "real");
        disk.put("walk-site-2.toml/a", Some("b"));
        assert_eq!(run(&disk, "a = 1\n").unwrap(), "walk-site-3.toml");
        assert_eq!(disk.list("real"), "letter.txt");
    }

    #[test]
    fn stopped_at_any_step_the_users_file_stays_and_the_next_run_goes_through() {
        for rules in Rules::ALL {
            for steps in 0..40 {
                let disk = Pretend::new(rules);
                run(&disk, "a = 1\n").unwrap();
                disk.put("notes.txt", Some("mine"));
                let disk = disk.again(steps);
                let _ = run(&disk, "a = 2\n");
                let disk = disk.again(usize::MAX);
                assert_eq!(run(&disk, "a = 2\n").unwrap(), "walk-site.toml", "{steps}");
                assert_eq!(disk.list(""), "notes.txt walk-site.toml", "{steps}");
                assert_eq!(disk.text("walk-site.toml").unwrap(), sealed("a = 2\n"));
            }
        }
    }
}
