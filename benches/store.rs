//! How long a store takes at 1000, 10 000 and 100 000 visits, and how long an event takes to be durable.
//!
//! `cargo bench --no-default-features --bench store`. `VERIDICAL_BENCH_FOLDER` says where (a folder of its own is made
//! there and taken away), `VERIDICAL_VISITS` how many visits at most. Medians; the key derivation is left out by a
//! cost of next to nothing.
#![expect(
    clippy::unwrap_used,
    reason = "a measurement that cannot be made has failed"
)]

use jiff::Timestamp;
use std::fs::{File, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use veridical::calibration::SetUp;
use veridical::errand::{Begin, epoch_of_simulations, plan_of, plan_of_nothing, spin};
use veridical::journal::{
    Body, EarlierThreshold, Journal, MemoryStore, OutsideResults, PersonKind,
};
use veridical::person::{Case, Simulated};
use veridical::quantity::{Hz, Moment};
use veridical::store::{Archive, Code, Cost, Folder, Identity, Opener, VisitsOf};
use veridical::visit::Visit;

const PASSPHRASE: &str = "seven gulls over the harbour";
const CHEAP: Cost = Cost {
    memory_kib: 64,
    passes: 1,
    lanes: 1,
};
/// Visits a person has, in the mean (our choice).
const EACH: u32 = 4;
const EVENTS: usize = 1000;

fn main() {
    let place =
        std::env::var_os("VERIDICAL_BENCH_FOLDER").map_or_else(std::env::temp_dir, PathBuf::from);
    let place = place.join(format!("veridical-bench-{}", std::process::id()));
    let most: u32 = std::env::var("VERIDICAL_VISITS")
        .ok()
        .map_or(100_000, |said| said.parse().unwrap());
    std::fs::create_dir_all(&place).unwrap();
    durable(&place);
    for sealed in [false, true] {
        scale(
            &place.join(if sealed { "sealed" } else { "plain" }),
            sealed,
            most,
        );
    }
    std::fs::remove_dir_all(&place).unwrap();
}

fn percentile(times: &mut [Duration], share: f64) -> f64 {
    times.sort();
    let at = (share * (times.len() - 1) as f64).round() as usize;
    1000.0 * times[at].as_secs_f64()
}

fn say(what: &str, times: &mut [Duration]) {
    let (median, p99) = (percentile(times, 0.5), percentile(times, 0.99));
    println!(
        "  {what}: median {median:.2} ms, 99th percentile {p99:.2} ms of {}",
        times.len()
    );
}

fn timed<T>(work: impl FnOnce() -> T) -> (Duration, T) {
    let began = Instant::now();
    let done = work();
    (began.elapsed(), done)
}

/// A line of some 330 bytes, as a planned tone has.
fn event(at: usize) -> Body {
    Body::Noted {
        text: format!("{at:0>160}"),
    }
}

/// Events made durable in a plain and an encrypted visit, in turn with a bare fdatasync of as many bytes.
fn durable(place: &Path) {
    let mut archives: Vec<Archive> = [None, Some(PASSPHRASE)]
        .iter()
        .zip(["durable-plain", "durable-sealed"])
        .map(|(passphrase, name)| {
            let disk = Box::new(Folder::new(&place.join(name)));
            Archive::found(disk, *passphrase, CHEAP, "bench")
                .unwrap()
                .archive
        })
        .collect();
    let mut journals: Vec<_> = archives
        .iter_mut()
        .map(|archive| {
            let opening = wish(None).opening();
            archive
                .begin_visit(opening, Timestamp::UNIX_EPOCH)
                .unwrap()
                .1
        })
        .collect();
    let mut bare: File = OpenOptions::new()
        .append(true)
        .create(true)
        .open(place.join("bare"))
        .unwrap();
    let mut times = [Vec::new(), Vec::new(), Vec::new()];
    for at in 0..EVENTS {
        let moment = Moment::from_seconds(at as f64);
        for (journal, times) in journals.iter_mut().zip(&mut times) {
            let (took, ()) = timed(|| {
                journal.append(event(at), moment).unwrap();
                journal.sync().unwrap();
            });
            times.push(took);
        }
        let (took, ()) = timed(|| {
            bare.write_all(&[b'x'; 330]).unwrap();
            bare.sync_data().unwrap();
        });
        times[2].push(took);
    }
    println!("event to durable, {EVENTS} events");
    let [plain, sealed, bare] = &mut times;
    say("plain", plain);
    say("encrypted", sealed);
    say("a bare fdatasync", bare);
}

fn wish(person: Option<&Code>) -> Begin {
    Begin {
        folder: PathBuf::new(),
        seed: 0,
        person: person.map_or(PersonKind::Piped, |code| PersonKind::Living {
            code: code.to_string(),
        }),
        set_up: SetUp::simulated(),
        plan: plan_of_nothing("results from outside"),
        epoch: Timestamp::UNIX_EPOCH,
    }
}

/// A small journal: what matters here is how many there are.
fn journal(person: &Code, at: u32) -> Vec<u8> {
    let epoch = Timestamp::from_second(1_600_000_000 + i64::from(at) * 1800).unwrap();
    let mut journal =
        Journal::begin(MemoryStore::default(), wish(Some(person)).opening(), epoch).unwrap();
    let threshold = EarlierThreshold {
        hz: Hz(1000.0),
        threshold_db_hl: f64::from(at % 60),
        sd_db: None,
    };
    let results = OutsideResults {
        source: "a harbour town that nobody lives in".into(),
        on: None,
        right: vec![threshold],
        left: vec![threshold],
        sight: Vec::new(),
        remark: String::new(),
    };
    journal
        .append(Body::Outside(Box::new(results)), Moment::START)
        .unwrap();
    journal.append(Body::Closed {}, Moment::START).unwrap();
    journal.store().bytes.clone()
}

/// The journal of a whole visit by the plan `full`.
fn full_journal() -> Vec<u8> {
    let case = include_str!("../demo/cases/average.toml");
    let case = Case::from_toml(case, "average").unwrap();
    let plan = plan_of("full", None).unwrap();
    let begin = Begin { plan, ..wish(None) };
    let journal = Journal::begin(
        MemoryStore::default(),
        begin.opening(),
        epoch_of_simulations(),
    )
    .unwrap();
    let mut visit = Visit::over(journal);
    spin(&mut visit, &mut Simulated::new(case, 1)).unwrap();
    let bytes = visit.journal().store().bytes.clone();
    let lines = bytes.split(|byte| *byte == b'\n').count() - 1;
    println!("a full visit: {lines} lines, {} bytes", bytes.len());
    bytes
}

fn scale(at: &Path, sealed: bool, most: u32) {
    let passphrase = sealed.then_some(PASSPHRASE);
    let opener = passphrase.map(|text| Opener::Passphrase(text.into()));
    let open = || Archive::open(Box::new(Folder::new(at)), opener.as_ref()).unwrap();
    let mut archive = Archive::found(Box::new(Folder::new(at)), passphrase, CHEAP, "bench")
        .unwrap()
        .archive;
    let full = full_journal();
    let (mut person, mut visits) = (None, 0);
    for size in [1000, 10_000, 100_000] {
        if size > most {
            break;
        }
        let began = Instant::now();
        let before = visits;
        while visits < size {
            if visits % EACH == 0 {
                let who = Identity {
                    name: format!("Invented {:05} Harbour", visits / EACH),
                    born: Some("1951-03-09".parse().unwrap()),
                    number_elsewhere: Some(format!("H-{visits}")),
                };
                person = Some(archive.add_person(&who).unwrap());
            }
            let person = person.as_ref().unwrap();
            archive
                .bring_in(&journal(person, visits), Some(person))
                .unwrap();
            visits += 1;
        }
        let each = 1000.0 * began.elapsed().as_secs_f64() / f64::from(size - before);
        println!("{size} visits, encrypted: {sealed}; {each:.2} ms to bring one in");
        drop(archive);
        let mut opening = Vec::new();
        for _ in 0..5 {
            opening.push(timed(|| drop(std::hint::black_box(open()))).0);
        }
        archive = open();
        say("open the store", &mut opening);
        let list = VisitsOf {
            person: None,
            most: 60,
            after: 0,
        };
        let (mut listing, mut finding, mut one) = (Vec::new(), Vec::new(), Vec::new());
        let latest = archive.visits(&list).unwrap();
        for turn in 0..40_u32 {
            listing.push(timed(|| archive.visits(&list).unwrap()).0);
            let words = format!("harbour {:05}", turn * 17 % (size / EACH));
            let (took, found) = timed(|| archive.people(&words, 60).unwrap());
            assert!(!found.is_empty());
            finding.push(took);
            let visit = &latest[turn as usize].code;
            one.push(timed(|| archive.findings(visit).unwrap()).0);
        }
        say("list 60 visits", &mut listing);
        say("find a person", &mut finding);
        say("open one small visit, findings included", &mut one);
        let visit = archive.bring_in(&full, None).unwrap().visit;
        let mut whole: Vec<Duration> = (0..40)
            .map(|_| timed(|| archive.findings(&visit).unwrap()).0)
            .collect();
        say("open one full visit, findings included", &mut whole);
        let checking = timed(|| archive.check(&mut |_, _| true).unwrap());
        assert!(checking.1.holds, "{:?}", checking.1);
        println!("  check everything: {:.1} s", checking.0.as_secs_f64());
    }
}
