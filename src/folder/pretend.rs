//! A disk in memory that obeys the rules of one system or another, and stops at a step that a test names.

use super::directory::{Directory, EntryKind};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::ffi::{OsStr, OsString};
use std::io;
use std::rc::Rc;

#[derive(Clone, PartialEq, Debug)]
enum PretendNode {
    File(Vec<u8>),
    Folder(BTreeMap<OsString, usize>),
    /// To a folder of this number.
    Link(usize),
}

/// What differs between the systems.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Rules {
    /// A folder may be renamed while it is open; capitals make another name.
    Unix,
    /// As there, but capitals make no other name.
    Mac,
    /// No folder is renamed or removed while it, or anything in it, is open; capitals make no other name.
    Windows,
}

impl Rules {
    pub const ALL: [Self; 3] = [Self::Unix, Self::Mac, Self::Windows];

    /// The name under which a folder holds what is asked for.
    fn held<'a>(self, inside: &'a BTreeMap<OsString, usize>, name: &'a OsStr) -> &'a OsStr {
        if self == Self::Unix || inside.contains_key(name) {
            return name;
        }
        let same = |known: &&OsString| known.eq_ignore_ascii_case(name);
        inside.keys().find(same).map_or(name, OsString::as_os_str)
    }
}

struct PretendState {
    nodes: Vec<PretendNode>,
    open: Vec<usize>,
    locked: Vec<usize>,
    rules: Rules,
    /// Steps that are left before the run is killed.
    left: usize,
    /// When so many are left, somebody puts the folder of this name aside and a link to `theirs` in its place.
    swap: Option<(usize, &'static str)>,
}

/// A handle of a folder.
pub struct Pretend {
    state: Rc<RefCell<PretendState>>,
    at: usize,
}

impl Drop for Pretend {
    fn drop(&mut self) {
        let mut state = self.state.borrow_mut();
        let at = state.open.iter().position(|n| *n == self.at).unwrap();
        state.open.remove(at);
    }
}

fn name_of(text: &str) -> &OsStr {
    OsStr::new(text)
}

impl Pretend {
    pub fn new(rules: Rules) -> Self {
        Self {
            state: Rc::new(RefCell::new(PretendState {
                nodes: vec![PretendNode::Folder(BTreeMap::new())],
                open: vec![0],
                locked: Vec::new(),
                rules,
                left: usize::MAX,
                swap: None,
            })),
            at: 0,
        }
    }

    /// Another run on the same disk: what the one before held is gone with it.
    pub fn again(self, steps: usize) -> Self {
        let state = Rc::clone(&self.state);
        drop(self);
        {
            let mut disk = state.borrow_mut();
            disk.left = steps;
            disk.open = vec![0];
            disk.locked.clear();
        }
        Self { state, at: 0 }
    }

    /// Another run, of which at a step a name becomes a link to the folder `theirs`.
    pub fn swapped(self, at: usize, name: &'static str) -> Self {
        const STEPS: usize = 10_000;
        let disk = self.again(STEPS);
        disk.state.borrow_mut().swap = Some((STEPS - at, name));
        disk
    }

    /// Whether somebody came between.
    pub fn was_swapped(&self) -> bool {
        self.state.borrow().swap.is_none()
    }

    /// Puts something there as a user would.
    pub fn put(&self, path: &str, text: Option<&str>) {
        let mut state = self.state.borrow_mut();
        let (mut at, rules) = (self.at, state.rules);
        let names: Vec<&str> = path.split('/').collect();
        for (i, name) in names.iter().enumerate() {
            let fresh = state.nodes.len();
            let leaf = i + 1 == names.len();
            let PretendNode::Folder(inside) = &mut state.nodes[at] else {
                panic!("{path}")
            };
            let held = rules.held(inside, name_of(name)).to_owned();
            let known = *inside.entry(held).or_insert(fresh);
            if known == fresh {
                state.nodes.push(match text {
                    Some(text) if leaf => PretendNode::File(text.into()),
                    _ => PretendNode::Folder(BTreeMap::new()),
                });
            } else if let (true, Some(text)) = (leaf, text) {
                state.nodes[known] = PretendNode::File(text.into());
            }
            at = known;
        }
    }

    /// A link to a folder.
    pub fn link(&self, name: &str, to: &str) {
        let target = self.find(to).unwrap();
        let mut state = self.state.borrow_mut();
        let fresh = state.nodes.len();
        state.nodes.push(PretendNode::Link(target));
        let PretendNode::Folder(inside) = &mut state.nodes[self.at] else {
            panic!("{name}")
        };
        inside.insert(name.into(), fresh);
    }

    fn find(&self, path: &str) -> Option<usize> {
        let state = self.state.borrow();
        path.split('/')
            .try_fold(self.at, |at, name| match &state.nodes[at] {
                PretendNode::Folder(inside) => inside.get(name_of(name)).copied(),
                _ => None,
            })
    }

    /// The text of a file.
    pub fn text(&self, path: &str) -> Option<String> {
        match &self.state.borrow().nodes[self.find(path)?] {
            PretendNode::File(bytes) => Some(String::from_utf8(bytes.clone()).unwrap()),
            _ => None,
        }
    }

    /// The names in a folder, parted by blanks.
    pub fn list(&self, path: &str) -> String {
        let at = if path.is_empty() {
            Some(self.at)
        } else {
            self.find(path)
        };
        match at.map(|at| self.state.borrow().nodes[at].clone()) {
            Some(PretendNode::Folder(inside)) => inside
                .keys()
                .map(|n| n.to_string_lossy().into_owned())
                .collect::<Vec<_>>()
                .join(" "),
            other => panic!("{path}: {other:?}"),
        }
    }

    /// How many of the steps given to this run are left.
    pub fn left(&self) -> usize {
        self.state.borrow().left
    }

    fn step(&self) -> io::Result<()> {
        let mut state = self.state.borrow_mut();
        if state.left == 0 {
            return Err(io::Error::other("killed"));
        }
        state.left -= 1;
        let now = state.left;
        if let Some((_, name)) = state.swap.take_if(|(at, _)| *at == now) {
            let fresh = state.nodes.len();
            let PretendNode::Folder(top) = &mut state.nodes[0] else {
                panic!("the top is no folder")
            };
            let theirs = top[name_of("theirs")];
            if let Some(node) = top.insert(name.into(), fresh) {
                top.insert("aside".into(), node);
            }
            state.nodes.push(PretendNode::Link(theirs));
        }
        Ok(())
    }

    fn node(&self, name: &OsStr) -> io::Result<usize> {
        let state = self.state.borrow();
        match &state.nodes[self.at] {
            PretendNode::Folder(inside) => inside.get(state.rules.held(inside, name)).copied(),
            _ => None,
        }
        .ok_or_else(|| io::ErrorKind::NotFound.into())
    }

    /// Takes a name out of this folder.
    fn take(&self, name: &OsStr) {
        let rules = self.state.borrow().rules;
        self.inside(|inside| {
            let held = rules.held(inside, name).to_owned();
            inside.remove(&held)
        });
    }

    fn inside<T>(&self, work: impl FnOnce(&mut BTreeMap<OsString, usize>) -> T) -> T {
        match &mut self.state.borrow_mut().nodes[self.at] {
            PretendNode::Folder(inside) => work(inside),
            other => panic!("{other:?}"),
        }
    }

    fn held(&self, node: usize) -> bool {
        fn within(state: &PretendState, node: usize) -> bool {
            state.open.contains(&node)
                || match &state.nodes[node] {
                    PretendNode::Folder(inside) => inside.values().any(|n| within(state, *n)),
                    _ => false,
                }
        }
        let state = self.state.borrow();
        state.rules == Rules::Windows && within(&state, node)
    }
}

impl Directory for Pretend {
    type Lock = usize;

    fn kind(&self, name: &OsStr) -> io::Result<Option<EntryKind>> {
        self.step()?;
        let Ok(node) = self.node(name) else {
            return Ok(None);
        };
        Ok(Some(match &self.state.borrow().nodes[node] {
            PretendNode::File(_) => EntryKind::File,
            PretendNode::Folder(_) => EntryKind::Folder,
            PretendNode::Link(_) => EntryKind::Other,
        }))
    }

    fn names(&self) -> io::Result<Vec<OsString>> {
        self.step()?;
        Ok(self.inside(|inside| inside.keys().cloned().collect()))
    }

    fn make(&self, name: &OsStr) -> io::Result<()> {
        self.step()?;
        if self.node(name).is_ok() {
            return Err(io::ErrorKind::AlreadyExists.into());
        }
        let fresh = self.state.borrow().nodes.len();
        self.state
            .borrow_mut()
            .nodes
            .push(PretendNode::Folder(BTreeMap::new()));
        self.inside(|inside| inside.insert(name.to_owned(), fresh));
        Ok(())
    }

    fn open(&self, name: &OsStr) -> io::Result<Self> {
        self.step()?;
        let node = self.node(name)?;
        if !matches!(self.state.borrow().nodes[node], PretendNode::Folder(_)) {
            return Err(io::Error::other("no folder"));
        }
        self.state.borrow_mut().open.push(node);
        Ok(Self {
            state: Rc::clone(&self.state),
            at: node,
        })
    }

    fn read(&self, name: &OsStr, limit: u64) -> io::Result<Vec<u8>> {
        self.step()?;
        let node = self.node(name)?;
        match &self.state.borrow().nodes[node] {
            PretendNode::File(bytes) => Ok(bytes
                .iter()
                .copied()
                .take(usize::try_from(limit).unwrap())
                .collect()),
            _ => Err(io::Error::other("no file")),
        }
    }

    fn write(&self, name: &OsStr, bytes: &[u8]) -> io::Result<()> {
        self.step()?;
        if self.node(name).is_ok() {
            return Err(io::ErrorKind::AlreadyExists.into());
        }
        let fresh = self.state.borrow().nodes.len();
        self.state
            .borrow_mut()
            .nodes
            .push(PretendNode::File(bytes.to_vec()));
        self.inside(|inside| inside.insert(name.to_owned(), fresh));
        Ok(())
    }

    fn rename(&self, from: &OsStr, to: &Self, name: &OsStr) -> io::Result<()> {
        self.step()?;
        let node = self.node(from)?;
        if self.held(node) {
            return Err(io::ErrorKind::PermissionDenied.into());
        }
        if to.node(name).is_ok() {
            return Err(io::ErrorKind::AlreadyExists.into());
        }
        self.take(from);
        to.inside(|inside| inside.insert(name.to_owned(), node));
        Ok(())
    }

    fn remove(&self, name: &OsStr) -> io::Result<()> {
        self.step()?;
        let node = self.node(name)?;
        if matches!(self.state.borrow().nodes[node], PretendNode::Folder(_)) {
            return Err(io::Error::other("a folder"));
        }
        self.take(name);
        Ok(())
    }

    fn remove_folder(&self, name: &OsStr) -> io::Result<()> {
        self.step()?;
        let node = self.node(name)?;
        let empty = matches!(&self.state.borrow().nodes[node], PretendNode::Folder(inside) if inside.is_empty());
        if !empty || self.held(node) {
            return Err(io::ErrorKind::DirectoryNotEmpty.into());
        }
        self.take(name);
        Ok(())
    }

    fn sync(&self) {}

    fn lock(&self, name: &OsStr) -> io::Result<Option<usize>> {
        self.step()?;
        if self.node(name).is_err() {
            self.write(name, b"")?;
        }
        let node = self.node(name)?;
        if self.state.borrow().locked.contains(&node) {
            return Ok(None);
        }
        self.state.borrow_mut().locked.push(node);
        Ok(Some(node))
    }

    fn unlock(&self, name: &OsStr, lock: usize) {
        if self.step().is_ok() {
            self.take(name);
        }
        self.state.borrow_mut().locked.retain(|n| *n != lock);
    }
}
