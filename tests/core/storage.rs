//! A storage that fails: nothing that was said to be durable is lost, whenever it fails.

use crate::at_hand::{average_person, fixed, short_plan, wish};
use proptest::prelude::*;
use std::cell::RefCell;
use std::io;
use std::rc::Rc;
use veridical::errand::spin;
use veridical::journal::{Journal, JournalError, MemoryStore, Record, Store, check};
use veridical::quantity::Moment;
use veridical::visit::{Input, Visit};

/// What is on a disk: bytes that would survive a loss of power, and bytes that might.
#[derive(Default)]
struct Disk {
    durable: Vec<u8>,
    on_its_way: Vec<u8>,
    /// Calls until one fails; every later one fails as well, unless `heals`.
    calls_left: u32,
    heals: bool,
    /// How much of a line a failing write leaves behind.
    torn_at: usize,
}

#[derive(Clone)]
struct Failing(Rc<RefCell<Disk>>);

impl Disk {
    fn call(&mut self) -> io::Result<()> {
        let fails = self.calls_left == 0;
        if !fails || self.heals {
            self.calls_left = self.calls_left.wrapping_sub(1);
        }
        if fails {
            return Err(io::Error::other("no space left"));
        }
        Ok(())
    }

    fn all(&self) -> Vec<u8> {
        [&self.durable[..], &self.on_its_way].concat()
    }
}

impl Store for Failing {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        let mut disk = self.0.borrow_mut();
        if let Err(error) = disk.call() {
            let torn = disk.torn_at.min(bytes.len());
            disk.on_its_way.extend_from_slice(&bytes[..torn]);
            return Err(error);
        }
        disk.on_its_way.extend_from_slice(bytes);
        Ok(())
    }

    fn sync(&mut self) -> io::Result<()> {
        let mut disk = self.0.borrow_mut();
        disk.call()?;
        let on_its_way = std::mem::take(&mut disk.on_its_way);
        disk.durable.extend(on_its_way);
        Ok(())
    }

    fn read(&mut self) -> io::Result<Vec<u8>> {
        Ok(self.0.borrow().all())
    }

    fn truncate(&mut self, _: u64) -> io::Result<()> {
        unreachable!("only opening a journal truncates it");
    }
}

proptest! {
    #![proptest_config(fixed(60))]

    #[test]
    fn what_was_durable_is_kept(
        calls in 0..220_u32,
        torn_at in 0..400_usize,
        survives in 0..400_usize,
        heals: bool,
    ) {
        let disk = Rc::new(RefCell::new(Disk { calls_left: calls, torn_at, heals, ..Disk::default() }));
        let begin = wish(21, short_plan());
        let journal = Journal::begin(Failing(disk.clone()), begin.opening(), begin.epoch);
        let said_durable = match journal {
            Err(error) => {
                prop_assert!(matches!(error, JournalError::Storage(_)));
                0
            }
            Ok(journal) => {
                let mut visit = Visit::over(journal);
                let told = spin(&mut visit, &mut average_person(22)).unwrap_err();
                prop_assert!(told.to_string().contains("no space left"), "{}", told);
                let after = disk.borrow().all();
                // It stays stopped, also when there is space again.
                for input in [Input::Note("more".into()), Input::Tick, Input::Close] {
                    prop_assert!(visit.step(input, Moment::from_seconds(4000.0)).is_err());
                }
                prop_assert_eq!(&disk.borrow().all(), &after);
                disk.borrow().durable.len()
            }
        };
        // The power goes: of what was on its way some may be there.
        let disk = disk.borrow();
        let kept = (said_durable + survives).min(disk.all().len());
        let bytes = disk.all()[..kept].to_vec();
        let opened = Journal::open(MemoryStore { bytes });
        if said_durable == 0 && opened.is_err() {
            return Ok(());
        }
        let opened = opened.unwrap();
        prop_assert!(opened.store().bytes.starts_with(&disk.durable));
        let (events, _) = check(&opened.store().bytes).unwrap();
        prop_assert_eq!(&Record::of(&events).unwrap().0, opened.record());
        // And the visit goes on to its end.
        let mut visit = Visit::over(opened);
        spin(&mut visit, &mut average_person(22)).unwrap();
        prop_assert!(visit.record().closed());
    }
}
