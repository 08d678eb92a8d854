//! A disk in memory whose power fails, that fills up, or that takes nothing: what was not synced may be
//! there afterwards, or not, or in part.

use std::collections::BTreeMap;
use std::io;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard};
use veridical::journal::Store;
use veridical::store::{Disk, Hold, Kept};

/// What is left of what was not synced when the power comes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Left {
    /// Nothing of it.
    Nothing,
    /// All of it.
    All,
    /// Half of what was appended; files have their new names.
    Half,
    /// As long as it should be, and full of zeros; files have their old names.
    Zeros,
}

impl Left {
    pub const ALL: [Left; 4] = [Left::Nothing, Left::All, Left::Half, Left::Zeros];
}

#[derive(Default, Clone)]
struct World {
    /// What a program sees.
    now: BTreeMap<String, Vec<u8>>,
    /// What would survive.
    durable: BTreeMap<String, Vec<u8>>,
    /// Steps taken: each may be the last.
    steps: u64,
    fails_at: Option<u64>,
    /// Bytes that fit; none: as many as you like.
    room: Option<usize>,
    read_only: bool,
    held: bool,
}

impl World {
    fn step(&mut self) -> io::Result<()> {
        if self.fails_at.is_some_and(|at| self.steps >= at) {
            return Err(io::Error::other("the power is gone"));
        }
        self.steps += 1;
        Ok(())
    }

    fn may_write(&self, more: usize) -> io::Result<()> {
        if self.read_only {
            return Err(io::ErrorKind::ReadOnlyFilesystem.into());
        }
        let used: usize = self.now.values().map(Vec::len).sum();
        if self.room.is_some_and(|room| used + more > room) {
            return Err(io::ErrorKind::StorageFull.into());
        }
        Ok(())
    }
}

/// The disk; clones are the same one.
#[derive(Default, Clone)]
pub struct MemoryDisk(Arc<Mutex<World>>);

impl MemoryDisk {
    fn world(&self) -> MutexGuard<'_, World> {
        self.0.lock().unwrap()
    }

    pub fn boxed(&self) -> Box<dyn Disk> {
        Box::new(self.clone())
    }

    /// The power fails after so many more steps.
    pub fn fails_after(&self, steps: Option<u64>) {
        let mut world = self.world();
        world.fails_at = steps.map(|steps| world.steps + steps);
    }

    pub fn steps(&self) -> u64 {
        self.world().steps
    }

    pub fn set_room(&self, room: Option<usize>) {
        self.world().room = room;
    }

    pub fn used(&self) -> usize {
        self.world().now.values().map(Vec::len).sum()
    }

    /// The files on it.
    pub fn files(&self) -> Vec<String> {
        self.world().now.keys().cloned().collect()
    }

    pub fn set_read_only(&self, read_only: bool) {
        self.world().read_only = read_only;
    }

    /// What would survive of a file.
    pub fn durable(&self, name: &str) -> Vec<u8> {
        self.world().durable.get(name).cloned().unwrap_or_default()
    }

    /// The same files on another disk.
    pub fn copy(&self) -> MemoryDisk {
        let mut world = self.world().clone();
        (world.fails_at, world.held) = (None, false);
        MemoryDisk(Arc::new(Mutex::new(world)))
    }

    /// The disk as it is found when the power comes back.
    pub fn after_the_cut(&self, left: Left) -> MemoryDisk {
        let world = self.world();
        let mut found = BTreeMap::new();
        for name in world.now.keys().chain(world.durable.keys()) {
            let (now, durable) = (world.now.get(name), world.durable.get(name));
            let new_names = matches!(left, Left::All | Left::Half);
            let bytes = match (now, durable) {
                (Some(now), Some(durable)) if now.starts_with(durable) => {
                    let on_its_way = &now[durable.len()..];
                    let tail = match left {
                        Left::Nothing => Vec::new(),
                        Left::All => on_its_way.to_vec(),
                        Left::Half => on_its_way[..on_its_way.len() / 2].to_vec(),
                        Left::Zeros => vec![0; on_its_way.len()],
                    };
                    Some([&durable[..], &tail].concat())
                }
                (Some(now), Some(durable)) => Some(if new_names { now } else { durable }.clone()),
                (Some(now), None) if new_names => Some(now.clone()),
                (None, Some(durable)) if !new_names => Some(durable.clone()),
                _ => None,
            };
            if let Some(bytes) = bytes {
                found.insert(name.clone(), bytes);
            }
        }
        let world = World {
            now: found.clone(),
            durable: found,
            ..World::default()
        };
        MemoryDisk(Arc::new(Mutex::new(world)))
    }
}

struct MemoryFile {
    disk: MemoryDisk,
    name: String,
}

impl Store for MemoryFile {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        let mut world = self.disk.world();
        world.step()?;
        if let Err(error) = world.may_write(bytes.len()) {
            // A full disk takes what still fits.
            let used: usize = world.now.values().map(Vec::len).sum();
            let fits = world.room.map_or(0, |room| room.saturating_sub(used));
            let some = bytes[..fits.min(bytes.len())].to_vec();
            world.now.entry(self.name.clone()).or_default().extend(some);
            return Err(error);
        }
        world
            .now
            .entry(self.name.clone())
            .or_default()
            .extend(bytes);
        Ok(())
    }

    fn sync(&mut self) -> io::Result<()> {
        let mut world = self.disk.world();
        world.step()?;
        let bytes = world.now.get(&self.name).cloned().unwrap_or_default();
        world.durable.insert(self.name.clone(), bytes);
        Ok(())
    }

    fn read(&mut self) -> io::Result<Vec<u8>> {
        let world = self.disk.world();
        Ok(world.now.get(&self.name).cloned().unwrap_or_default())
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        let mut world = self.disk.world();
        world.step()?;
        let bytes = world.now.entry(self.name.clone()).or_default();
        bytes.truncate(usize::try_from(length).unwrap());
        // The next sync makes it durable; before it, what was cut may be there again.
        Ok(())
    }
}

impl Disk for MemoryDisk {
    fn create(&self, name: &str) -> io::Result<Kept> {
        let mut world = self.world();
        if world.now.contains_key(name) {
            return Err(io::ErrorKind::AlreadyExists.into());
        }
        world.step()?;
        world.may_write(0)?;
        world.now.insert(name.into(), Vec::new());
        world.step()?;
        world.durable.insert(name.into(), Vec::new());
        drop(world);
        self.open(name)
    }

    fn open(&self, name: &str) -> io::Result<Kept> {
        if !self.world().now.contains_key(name) {
            return Err(io::ErrorKind::NotFound.into());
        }
        let file = MemoryFile {
            disk: self.clone(),
            name: name.into(),
        };
        Ok(Box::new(file))
    }

    fn read(&self, name: &str, from: u64) -> io::Result<Vec<u8>> {
        let world = self.world();
        let bytes = world.now.get(name).ok_or(io::ErrorKind::NotFound)?;
        let from = usize::try_from(from).unwrap().min(bytes.len());
        Ok(bytes[from..].to_vec())
    }

    fn replace(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let mut world = self.world();
        // Written beside it, synced there, renamed, and the name synced.
        world.step()?;
        world.may_write(bytes.len())?;
        world.step()?;
        world.step()?;
        world.now.insert(name.into(), bytes.to_vec());
        world.step()?;
        world.durable.insert(name.into(), bytes.to_vec());
        Ok(())
    }

    fn rename(&self, from: &str, to: &str) -> io::Result<()> {
        let mut world = self.world();
        world.step()?;
        world.may_write(0)?;
        let bytes = world.now.remove(from).ok_or(io::ErrorKind::NotFound)?;
        world.now.insert(to.into(), bytes.clone());
        world.step()?;
        world.durable.remove(from);
        world.durable.insert(to.into(), bytes);
        Ok(())
    }

    fn remove(&self, name: &str) -> io::Result<()> {
        let mut world = self.world();
        world.step()?;
        world.may_write(0)?;
        world.now.remove(name);
        world.step()?;
        world.durable.remove(name);
        Ok(())
    }

    fn names(&self, folder: &str) -> io::Result<Vec<String>> {
        let world = self.world();
        let inside = format!("{folder}/");
        let names = world
            .now
            .keys()
            .filter_map(|name| name.strip_prefix(&inside));
        let mut names: Vec<String> = names
            .map(|rest| rest.split('/').next().unwrap().to_owned())
            .collect();
        names.dedup();
        Ok(names)
    }

    fn length(&self, name: &str) -> io::Result<Option<u64>> {
        Ok(self.world().now.get(name).map(|bytes| bytes.len() as u64))
    }

    fn database(&self, _: &str) -> Option<PathBuf> {
        None
    }

    fn told(&self) -> String {
        "a disk in memory".into()
    }

    fn hold(&self) -> io::Result<Hold> {
        if self.world().read_only {
            return Ok(Hold::ReadOnly);
        }
        Ok(Hold::Writing(None))
    }
}
