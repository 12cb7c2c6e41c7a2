//! What a results folder needs of a file system, and no more: each step by name in a folder that is already open, so that no link is followed between two steps.

use std::ffi::{OsStr, OsString};
use std::io;

/// What stands under a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EntryKind {
    /// A plain file.
    File,
    /// A folder.
    Folder,
    /// A link, a pipe, a device: nothing that is read, written or removed here.
    Other,
}

/// A folder that is open. Names are single names, never paths.
pub trait Directory: Sized {
    /// Keeps other runs out while it lives.
    type Lock;

    /// What stands under a name, without following a link; nothing if nothing does.
    fn kind(&self, name: &OsStr) -> io::Result<Option<EntryKind>>;
    /// The names in it, sorted.
    fn names(&self) -> io::Result<Vec<OsString>>;
    /// Makes a folder that is not there yet.
    fn make(&self, name: &OsStr) -> io::Result<()>;
    /// Opens a folder; a link is refused.
    fn open(&self, name: &OsStr) -> io::Result<Self>;
    /// At most `limit` bytes of a plain file; a link is refused.
    fn read(&self, name: &OsStr, limit: u64) -> io::Result<Vec<u8>>;
    /// Writes a file that is not there yet, and waits until it is on the disk.
    fn write(&self, name: &OsStr, bytes: &[u8]) -> io::Result<()>;
    /// Gives a file or folder another name, there or in another folder. Windows refuses it while anything in a folder is open.
    fn rename(&self, from: &OsStr, to: &Self, name: &OsStr) -> io::Result<()>;
    /// Removes a file.
    fn remove(&self, name: &OsStr) -> io::Result<()>;
    /// Removes an empty folder.
    fn remove_folder(&self, name: &OsStr) -> io::Result<()>;
    /// Makes renames last through a power cut, where the system lets a folder be synced.
    fn sync(&self);
    /// Takes the lock of this name; nothing while another run has it. It ends with the process.
    fn lock(&self, name: &OsStr) -> io::Result<Option<Self::Lock>>;
    /// Gives the lock back and takes its file away.
    fn unlock(&self, name: &OsStr, lock: Self::Lock);
}
