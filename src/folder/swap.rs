//! Writing beside, swapping in, and putting right what a stopped run left.

use super::directory::{Directory, EntryKind};
use super::result_file::{Kept, ResultFile, failed, fault};
use super::written::{LIST, Written, list};
use crate::text::Fault;
use serde::de::{IgnoredAny, MapAccess, Visitor};
use std::ffi::{OsStr, OsString};
use std::io;
use std::path::{Path, PathBuf};

/// As much of a result.json as is read to know whether it is ours: the program's name stands among its first keys.
const HEAD: u64 = 1 << 16;

/// The names that a run uses in the folder above the results.
pub struct Swap<'a, D> {
    above: &'a D,
    name: &'a OsStr,
    partial: OsString,
    old: OsString,
    lock: OsString,
    /// As the user wrote it, for messages.
    shown: &'a Path,
}

impl<'a, D: Directory> Swap<'a, D> {
    pub fn new(above: &'a D, name: &'a OsStr, shown: &'a Path) -> Self {
        let hidden = |end: &str| {
            let mut own = OsString::from(".");
            own.push(name);
            own.push(end);
            own
        };
        Self {
            above,
            name,
            partial: hidden(".partial"),
            old: hidden(".old"),
            lock: hidden(".lock"),
            shown,
        }
    }

    /// Writes the sheets and their list. Gives the files of the user's that had to take another name.
    pub fn write(&self, sheets: &[ResultFile]) -> Result<Vec<Kept>, Fault> {
        if self.is(&self.lock)?.is_some_and(|k| k != EntryKind::File) {
            return Err(self.in_the_way(&self.lock));
        }
        let held = self
            .above
            .lock(&self.lock)
            .map_err(|e| failed(self.shown, "results cannot be written here", &e))?
            .ok_or_else(|| {
                fault(self.shown, "another run is writing this folder")
                    .advice("wait until it ends, or give --out another folder")
            })?;
        let done = self.locked(sheets);
        if done.is_err() {
            // What could not be finished is cleared away as far as it can be.
            let _ = self.clear_partial();
        }
        self.above.unlock(&self.lock, held);
        done
    }

    fn locked(&self, sheets: &[ResultFile]) -> Result<Vec<Kept>, Fault> {
        let mut kept = self.mend()?;
        self.check_ours()?;
        self.clear_partial()?;
        let partial = self.beside(&self.partial);
        self.above
            .make(&self.partial)
            .map_err(|e| failed(self.shown, "results cannot be written here", &e))?;
        {
            let fresh = self
                .above
                .open(&self.partial)
                .map_err(|e| failed(&partial, "cannot be opened", &e))?;
            let all = sheets.iter().cloned().chain([list(sheets)]);
            for (name, bytes) in all {
                fresh
                    .write(OsStr::new(&name), &bytes)
                    .map_err(|e| failed(&partial.join(&name), "cannot be written", &e))?;
            }
            fresh.sync();
            // Closed before it is renamed: Windows renames no folder that is open.
        }
        let in_place = |e: io::Error| failed(self.shown, "cannot be put in place", &e);
        if self.is(self.name)?.is_some() {
            self.above
                .rename(self.name, self.above, &self.old)
                .map_err(in_place)?;
        }
        if let Err(error) = self.above.rename(&self.partial, self.above, self.name) {
            // The old results go back where they were; the new ones are made again by the next run.
            let _ = self.above.rename(&self.old, self.above, self.name);
            return Err(in_place(error));
        }
        self.above.sync();
        kept.extend(self.clear_old()?);
        Ok(kept)
    }

    fn beside(&self, name: &OsStr) -> PathBuf {
        self.shown.with_file_name(name)
    }

    fn is(&self, name: &OsStr) -> Result<Option<EntryKind>, Fault> {
        self.above
            .kind(name)
            .map_err(|e| failed(&self.beside(name), "cannot be examined", &e))
    }

    /// Something that no run of ours makes stands under a name that a run needs.
    fn in_the_way(&self, name: &OsStr) -> Fault {
        fault(
            &self.beside(name),
            "there is a link or a file at the place of the results. It is not changed",
        )
        .expected("no file with this name, or a folder of a stopped run")
        .advice("remove it, or give --out another folder")
    }

    /// Puts right what a run stopped between two steps left behind.
    fn mend(&self) -> Result<Vec<Kept>, Fault> {
        match (self.is(&self.old)?, self.is(self.name)?) {
            (None, _) => Ok(Vec::new()),
            (Some(EntryKind::Folder), None) => {
                self.above
                    .rename(&self.old, self.above, self.name)
                    .map_err(|e| {
                        failed(
                            &self.beside(&self.old),
                            "the results of an earlier run cannot be restored",
                            &e,
                        )
                    })?;
                Ok(Vec::new())
            }
            (Some(EntryKind::Folder), Some(EntryKind::Folder)) => self.clear_old(),
            _ => Err(self.in_the_way(&self.old)),
        }
    }

    /// A folder may be replaced if it is not there, is empty, or holds a result.json of ours; never through a link.
    fn check_ours(&self) -> Result<(), Fault> {
        match self.is(self.name)? {
            None => return Ok(()),
            Some(EntryKind::Other) => {
                return Err(fault(
                    self.shown,
                    "the results folder is a link. The program does not write through links",
                )
                .advice("give the folder itself with --out, or remove the link"));
            }
            Some(EntryKind::File) => {
                return Err(fault(
                    self.shown,
                    "there is a file at the place of the results folder",
                )
                .advice("give --out another folder"));
            }
            Some(EntryKind::Folder) => {}
        }
        let unread = |e: io::Error| failed(self.shown, "cannot be read", &e);
        let folder = self.above.open(self.name).map_err(unread)?;
        let names = folder.names().map_err(unread)?;
        if names.is_empty() || is_ours(&folder).map_err(unread)? {
            return Ok(());
        }
        Err(fault(
            self.shown,
            "this program did not make this folder, so it does not change it",
        )
        .expected("no folder, an empty one, or one with a result.json of an earlier run")
        .advice("give --out another folder"))
    }

    /// Takes away what a stopped run put together: plain files alone, and nothing but a folder that then is empty.
    fn clear_partial(&self) -> Result<(), Fault> {
        match self.is(&self.partial)? {
            None => return Ok(()),
            Some(EntryKind::Folder) => {}
            Some(_) => return Err(self.in_the_way(&self.partial)),
        }
        let shown = self.beside(&self.partial);
        let cannot =
            |e: io::Error| failed(&shown, "the files of a stopped run cannot be removed", &e);
        {
            let left = self.above.open(&self.partial).map_err(cannot)?;
            for name in left.names().map_err(cannot)? {
                if left.kind(&name).map_err(cannot)? != Some(EntryKind::File) {
                    return Err(self.in_the_way(&self.partial));
                }
                left.remove(&name).map_err(cannot)?;
            }
        }
        self.above.remove_folder(&self.partial).map_err(cannot)
    }

    /// Takes away what the earlier run wrote, and moves all else out of the old folder into the new one.
    fn clear_old(&self) -> Result<Vec<Kept>, Fault> {
        if self.is(&self.old)?.is_none() {
            return Ok(Vec::new());
        }
        let cannot = |e: io::Error| {
            failed(
                &self.beside(&self.old),
                "your own files could not be copied to the new folder. They are still here",
                &e,
            )
        };
        let mut kept = Vec::new();
        {
            let old = self.above.open(&self.old).map_err(cannot)?;
            let new = self.above.open(self.name).map_err(cannot)?;
            let written = Written::of(&old).map_err(cannot)?;
            let mut names = old.names().map_err(cannot)?;
            // The list goes last: by it a run that mends this one still knows what is whose.
            names.sort_by_key(|name| name == LIST);
            for name in names {
                if written.as_written(&old, &name).map_err(cannot)? {
                    old.remove(&name).map_err(cannot)?;
                    continue;
                }
                let free = free_name(&new, &name).map_err(cannot)?;
                old.rename(&name, &new, &free).map_err(cannot)?;
                if free != name {
                    kept.push(Kept {
                        was: name.to_string_lossy().into_owned(),
                        is: free.to_string_lossy().into_owned(),
                    });
                }
            }
        }
        self.above.remove_folder(&self.old).map_err(cannot)?;
        Ok(kept)
    }
}

/// The name itself, or the first of `name-kept`, `name-kept-2`, ... that is free.
fn free_name<D: Directory>(folder: &D, name: &OsStr) -> io::Result<OsString> {
    let path = Path::new(name);
    let stem = path.file_stem().unwrap_or(name);
    for count in 0u32.. {
        let mut free = OsString::from(if count == 0 { name } else { stem });
        if count > 0 {
            free.push("-kept");
            if count > 1 {
                free.push(format!("-{count}"));
            }
            if let Some(ending) = path.extension() {
                free.push(".");
                free.push(ending);
            }
        }
        if folder.kind(&free)?.is_none() {
            return Ok(free);
        }
    }
    Err(io::Error::other("no name is free"))
}

/// Whether a folder holds a result.json that names this program. Only the head of a plain file is read.
fn is_ours<D: Directory>(folder: &D) -> io::Result<bool> {
    let name = OsStr::new("result.json");
    if folder.kind(name)? != Some(EntryKind::File) {
        return Ok(false);
    }
    let head = folder.read(name, HEAD)?;
    let mut program = Program(None);
    // The head may end in the middle of a value: what counts is what was found before.
    let _ = serde::Deserializer::deserialize_map(
        &mut serde_json::Deserializer::from_slice(&head),
        &mut program,
    );
    Ok(program.0.as_deref() == Some(env!("CARGO_PKG_NAME")))
}

/// Looks for `program.name` at the top of a JSON object.
struct Program(Option<String>);

impl<'de> Visitor<'de> for &mut Program {
    type Value = ();

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("an object")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        while let Some(key) = map.next_key::<String>()? {
            if key == "program" {
                let value: serde_json::Value = map.next_value()?;
                self.0 = value
                    .get("name")
                    .and_then(|n| n.as_str())
                    .map(str::to_owned);
                return Ok(());
            }
            map.next_value::<IgnoredAny>()?;
        }
        Ok(())
    }
}
