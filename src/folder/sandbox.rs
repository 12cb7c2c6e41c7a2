//! The folders of a program in a browser: one run, no links, no locks, no power cut.

use super::directory::{Directory, EntryKind};
use std::ffi::{OsStr, OsString};
use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// A folder of the sandbox.
pub struct Disk(PathBuf);

impl Disk {
    /// The folder of a path.
    pub fn at(path: &Path) -> io::Result<Self> {
        fs::metadata(path).map(|_| Self(path.to_owned()))
    }
}

impl Directory for Disk {
    type Lock = ();

    fn kind(&self, name: &OsStr) -> io::Result<Option<EntryKind>> {
        match fs::symlink_metadata(self.0.join(name)) {
            Ok(about) if about.is_file() => Ok(Some(EntryKind::File)),
            Ok(about) if about.is_dir() => Ok(Some(EntryKind::Folder)),
            Ok(_) => Ok(Some(EntryKind::Other)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error),
        }
    }

    fn names(&self) -> io::Result<Vec<OsString>> {
        let mut names = fs::read_dir(&self.0)?
            .map(|entry| entry.map(|e| e.file_name()))
            .collect::<io::Result<Vec<_>>>()?;
        names.sort();
        Ok(names)
    }

    fn make(&self, name: &OsStr) -> io::Result<()> {
        fs::create_dir(self.0.join(name))
    }

    fn open(&self, name: &OsStr) -> io::Result<Self> {
        Self::at(&self.0.join(name))
    }

    fn read(&self, name: &OsStr, limit: u64) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        fs::File::open(self.0.join(name))?
            .take(limit)
            .read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    fn write(&self, name: &OsStr, bytes: &[u8]) -> io::Result<()> {
        fs::write(self.0.join(name), bytes)
    }

    fn rename(&self, from: &OsStr, to: &Self, name: &OsStr) -> io::Result<()> {
        fs::rename(self.0.join(from), to.0.join(name))
    }

    fn remove(&self, name: &OsStr) -> io::Result<()> {
        fs::remove_file(self.0.join(name))
    }

    fn remove_folder(&self, name: &OsStr) -> io::Result<()> {
        fs::remove_dir(self.0.join(name))
    }

    fn sync(&self) {}

    fn lock(&self, _: &OsStr) -> io::Result<Option<()>> {
        Ok(Some(()))
    }

    fn unlock(&self, _: &OsStr, (): ()) {}
}
