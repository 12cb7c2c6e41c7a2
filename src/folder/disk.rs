//! The folders of a disk, through handles: a name is looked up in the folder that is open, and a link under it is never followed.

use super::directory::{Directory, EntryKind};
use cap_fs_ext::{DirExt, FollowSymlinks, MetadataExt, OpenOptionsFollowExt};
use cap_std::fs::{Dir, Metadata, OpenOptions};
use std::ffi::{OsStr, OsString};
use std::fs::{File, TryLockError};
use std::io::{self, Read, Write};
use std::path::Path;

/// A folder of the disk.
pub struct Disk(Dir);

impl Disk {
    /// Opens the folder of a path that the user gave; links on the way to it are the user's.
    pub fn at(path: &Path) -> io::Result<Self> {
        Dir::open_ambient_dir(path, cap_std::ambient_authority()).map(Self)
    }

    fn file(&self, name: &OsStr, options: &mut OpenOptions) -> io::Result<File> {
        options.follow(FollowSymlinks::No);
        Ok(self.0.open_with(name, options)?.into_std())
    }

    fn about(&self, name: &OsStr) -> io::Result<Option<Metadata>> {
        match self.0.symlink_metadata(name) {
            Ok(about) => Ok(Some(about)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error),
        }
    }
}

impl Directory for Disk {
    type Lock = File;

    fn kind(&self, name: &OsStr) -> io::Result<Option<EntryKind>> {
        Ok(self.about(name)?.map(|about| {
            if about.is_file() {
                EntryKind::File
            } else if about.is_dir() {
                EntryKind::Folder
            } else {
                EntryKind::Other
            }
        }))
    }

    fn names(&self) -> io::Result<Vec<OsString>> {
        let mut names = self
            .0
            .entries()?
            .map(|entry| entry.map(|e| e.file_name()))
            .collect::<io::Result<Vec<_>>>()?;
        names.sort();
        Ok(names)
    }

    fn make(&self, name: &OsStr) -> io::Result<()> {
        self.0.create_dir(name)
    }

    fn open(&self, name: &OsStr) -> io::Result<Self> {
        self.0.open_dir_nofollow(name).map(Self)
    }

    fn read(&self, name: &OsStr, limit: u64) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        self.file(name, OpenOptions::new().read(true))?
            .take(limit)
            .read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    fn write(&self, name: &OsStr, bytes: &[u8]) -> io::Result<()> {
        let mut file = self.file(name, OpenOptions::new().write(true).create_new(true))?;
        file.write_all(bytes)?;
        file.sync_all()
    }

    fn rename(&self, from: &OsStr, to: &Self, name: &OsStr) -> io::Result<()> {
        self.0.rename(from, &to.0, name)
    }

    fn remove(&self, name: &OsStr) -> io::Result<()> {
        self.0.remove_file(name)
    }

    fn remove_folder(&self, name: &OsStr) -> io::Result<()> {
        self.0.remove_dir(name)
    }

    fn sync(&self) {
        if let Ok(handle) = self.0.try_clone() {
            let _ = handle.into_std_file().sync_all();
        }
    }

    fn lock(&self, name: &OsStr) -> io::Result<Option<File>> {
        let file = self.file(name, OpenOptions::new().append(true).create(true))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Ok(None),
            // A system that has no locks: two runs at once would meet in the partial folder and be refused there.
            Err(TryLockError::Error(e)) if e.kind() == io::ErrorKind::Unsupported => {}
            Err(TryLockError::Error(error)) => return Err(error),
        }
        // The run before takes the file away as it gives the lock back: then this one holds a lock of nothing.
        let held = Metadata::from_file(&file)?;
        let same = self
            .about(name)?
            .is_some_and(|a| a.dev() == held.dev() && a.ino() == held.ino());
        Ok(same.then_some(file))
    }

    fn unlock(&self, name: &OsStr, lock: File) {
        // Taken away while it is held, so that nobody can take what is about to go.
        let _ = self.0.remove_file(name);
        drop(lock);
    }
}
