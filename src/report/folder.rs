use crate::text::{Fault, Place};
use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// A file of a results folder: its name and its bytes.
pub type Sheet = (String, Vec<u8>);

/// Names that a results folder of ours may hold; anything else in it is the user's and is carried over.
const OWN: &[&str] = &[
    "result.json",
    "profile.svg",
    "plan.svg",
    "report.html",
    "stations.csv",
    "stakes.csv",
    "marks.gpx",
    "marks.geojson",
    "shopping.csv",
    "site.toml",
    "moved.svg",
];

/// Writes a results folder all or nothing.
///
/// The files are written beside it under a partial name, synced, and swapped in whole. A folder that is not ours, or a link, is refused.
/// A run that was stopped in the middle is mended by the next one: the old results stay whole until the new ones are. Foreign files in the folder are carried over.
///
/// # Errors
/// A [`Fault`] that names the folder and says what to do; nothing of the old results is lost then.
pub fn write(folder: &Path, sheets: &[Sheet]) -> Result<(), Fault> {
    let beside = Beside::of(folder)?;
    beside.mend()?;
    check_ours(folder)?;
    let lock = beside.begin()?;
    for (name, bytes) in sheets {
        write_synced(&beside.partial.join(name), bytes)
            .map_err(|e| failed(&beside.partial.join(name), "cannot be written", &e))?;
    }
    let in_place = |e: io::Error| failed(folder, "cannot be put in place", &e);
    if folder.exists() {
        fs::rename(folder, &beside.old).map_err(in_place)?;
    }
    if let Err(error) = fs::rename(&beside.partial, folder) {
        // The old results go back where they were; the new ones are made again by the next run.
        let _ = fs::rename(&beside.old, folder);
        return Err(in_place(error));
    }
    drop(lock);
    let _ = fs::remove_file(folder.join(LOCK));
    if let Some(parent) = folder.parent().filter(|p| !p.as_os_str().is_empty()) {
        sync_folder(parent);
    }
    beside.clear_old(folder)
}

const LOCK: &str = ".writing";

/// The names beside a results folder that a run uses while it writes.
struct Beside {
    folder: PathBuf,
    partial: PathBuf,
    old: PathBuf,
}

impl Beside {
    fn of(folder: &Path) -> Result<Self, Fault> {
        let name = folder.file_name().ok_or_else(|| {
            Fault::new(
                Place::file(folder.display().to_string()),
                "no folder can be made here",
            )
            .expected("a folder with a name of its own")
            .advice("give --out the path of a new folder")
        })?;
        let hidden = |end: &str| {
            let mut own = OsString::from(".");
            own.push(name);
            own.push(end);
            folder.with_file_name(own)
        };
        Ok(Self {
            folder: folder.to_owned(),
            partial: hidden(".partial"),
            old: hidden(".old"),
        })
    }

    /// Puts right what a run stopped between two steps left behind.
    fn mend(&self) -> Result<(), Fault> {
        if !is_there(&self.old) {
            return Ok(());
        }
        if is_there(&self.folder) {
            return self.clear_old(&self.folder);
        }
        fs::rename(&self.old, &self.folder).map_err(|e| {
            failed(
                &self.old,
                "the results of an earlier run cannot be put back",
                &e,
            )
        })
    }

    /// Takes the partial folder for this run, empty; refused while another run holds it.
    fn begin(&self) -> Result<File, Fault> {
        let cannot = |e: io::Error| failed(&self.folder, "results cannot be written here", &e);
        fs::create_dir_all(&self.partial).map_err(cannot)?;
        let path = self.partial.join(LOCK);
        let lock = File::options()
            .create(true)
            .append(true)
            .open(&path)
            .map_err(cannot)?;
        // The lock ends with the process, so a killed run never bars the next one.
        let busy = lock.try_lock().is_err() || !path.exists();
        if busy {
            return Err(Fault::new(
                Place::file(self.folder.display().to_string()),
                "another run is writing this folder",
            )
            .advice("wait for it to end, or give --out another folder"));
        }
        for entry in fs::read_dir(&self.partial).map_err(cannot)?.flatten() {
            if entry.file_name() != LOCK {
                remove(&entry.path()).map_err(cannot)?;
            }
        }
        Ok(lock)
    }

    /// Moves the user's own files out of the old folder into the new one, then drops the old one.
    fn clear_old(&self, folder: &Path) -> Result<(), Fault> {
        if !is_there(&self.old) {
            return Ok(());
        }
        let cannot = |e: io::Error| {
            failed(
                &self.old,
                "files of your own could not be carried over; they are still here",
                &e,
            )
        };
        for entry in fs::read_dir(&self.old).map_err(cannot)?.flatten() {
            let (name, from) = (entry.file_name(), entry.path());
            let own = name.to_str().is_some_and(|n| is_own(n) || n == LOCK);
            if own && !from.is_dir() {
                fs::remove_file(&from).map_err(cannot)?;
            } else if !is_there(&folder.join(&name)) {
                fs::rename(&from, folder.join(&name)).map_err(cannot)?;
            } else {
                remove(&from).map_err(cannot)?;
            }
        }
        fs::remove_dir(&self.old).map_err(cannot)
    }
}

/// Whether a name is one that results are written under: also the second and later sheets of a long line.
fn is_own(name: &str) -> bool {
    let sheet = |stem: &str| {
        name.strip_prefix(stem)
            .and_then(|rest| rest.strip_suffix(".svg"))
            .is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()))
    };
    OWN.contains(&name) || sheet("profile-") || sheet("plan-")
}

/// A folder may be replaced if it is not there, is empty, or holds a result.json of ours; never through a link.
fn check_ours(folder: &Path) -> Result<(), Fault> {
    let place = || Place::file(folder.display().to_string());
    let Ok(meta) = fs::symlink_metadata(folder) else {
        return Ok(());
    };
    if meta.file_type().is_symlink() {
        return Err(Fault::new(
            place(),
            "the results folder is a link, and results are not written through links",
        )
        .advice("give --out the folder itself, or remove the link"));
    }
    if !meta.is_dir() {
        return Err(
            Fault::new(place(), "a file stands where the results folder should be")
                .advice("give --out another folder"),
        );
    }
    let mut entries = fs::read_dir(folder).map_err(|e| failed(folder, "cannot be read", &e))?;
    let ours = || {
        let text = fs::read_to_string(folder.join("result.json")).ok()?;
        let value: serde_json::Value = serde_json::from_str(&text).ok()?;
        Some(value.get("program")?.get("name")?.as_str()? == env!("CARGO_PKG_NAME"))
    };
    if entries.next().is_none() || ours() == Some(true) {
        return Ok(());
    }
    Err(Fault::new(
        place(),
        "this folder was not made by this program, so it is left alone",
    )
    .expected("no folder, an empty one, or one with a result.json of an earlier run")
    .advice("give --out another folder"))
}

fn write_synced(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Makes a rename last through a power cut, where the system lets a folder be synced.
fn sync_folder(folder: &Path) {
    if let Ok(handle) = File::open(folder) {
        let _ = handle.sync_all();
    }
}

fn is_there(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok()
}

fn remove(path: &Path) -> io::Result<()> {
    if fs::symlink_metadata(path)?.is_dir() {
        fs::remove_dir_all(path)
    } else {
        fs::remove_file(path)
    }
}

fn failed(path: &Path, what: &str, error: &io::Error) -> Fault {
    Fault::new(Place::file(path.display().to_string()), what)
        .found(error.to_string())
        .advice("free some room, or give --out a folder that you may write to")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(name: &str) -> PathBuf {
        let dir =
            std::env::temp_dir().join(format!("steadyfall-folder-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&dir);
        fs::create_dir_all(&dir).unwrap();
        dir
    }

    fn result(n: u32) -> Vec<Sheet> {
        vec![(
            "result.json".into(),
            format!("{{\"program\":{{\"name\":\"steadyfall\"}},\"n\":{n}}}").into_bytes(),
        )]
    }

    #[test]
    fn foreign_files_are_carried_over_and_stale_sheets_go() {
        let out = room("carry").join("results");
        let mut first = result(1);
        first.push(("plan.svg".into(), b"old".to_vec()));
        write(&out, &first).unwrap();
        fs::write(out.join("notes.txt"), "mine").unwrap();
        fs::create_dir(out.join("photos")).unwrap();
        write(&out, &result(2)).unwrap();
        assert_eq!(fs::read_to_string(out.join("notes.txt")).unwrap(), "mine");
        assert!(out.join("photos").is_dir() && !out.join("plan.svg").exists());
        let left: Vec<_> = fs::read_dir(out.parent().unwrap())
            .unwrap()
            .flatten()
            .collect();
        assert_eq!(left.len(), 1, "{left:?}");
        assert!(!out.join(LOCK).exists());
    }

    #[test]
    fn a_foreign_folder_is_left_alone() {
        let out = room("foreign");
        fs::write(out.join("letter.txt"), "x").unwrap();
        let fault = write(&out, &result(1)).unwrap_err();
        assert!(fault.text.contains("not made by this program"));
        assert_eq!(fs::read_dir(&out).unwrap().count(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_is_refused() {
        let base = room("link");
        fs::create_dir(base.join("real")).unwrap();
        std::os::unix::fs::symlink(base.join("real"), base.join("results")).unwrap();
        assert!(
            write(&base.join("results"), &result(1))
                .unwrap_err()
                .text
                .contains("link")
        );
    }

    #[test]
    fn a_run_stopped_between_the_two_renames_is_mended() {
        let out = room("mend").join("results");
        write(&out, &result(1)).unwrap();
        fs::write(out.join("notes.txt"), "mine").unwrap();
        fs::rename(&out, out.with_file_name(".results.old")).unwrap();
        fs::create_dir(out.with_file_name(".results.partial")).unwrap();
        write(&out, &result(2)).unwrap();
        assert_eq!(fs::read_to_string(out.join("notes.txt")).unwrap(), "mine");
        assert!(
            fs::read_to_string(out.join("result.json"))
                .unwrap()
                .contains("\"n\":2")
        );
    }

    #[test]
    fn two_runs_at_once_do_not_mix() {
        let out = room("two").join("results");
        let beside = Beside::of(&out).unwrap();
        let held = beside.begin().unwrap();
        assert!(
            write(&out, &result(1))
                .unwrap_err()
                .text
                .contains("another run")
        );
        drop(held);
        write(&out, &result(1)).unwrap();
    }
}
