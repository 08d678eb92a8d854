//! The program as a whole, without sound and windows: the house's order, the journal, the loop,
//! the verbs, and figures against published ones.

// The helpers of a test binary are tests too, which clippy cannot know.
#![allow(clippy::unwrap_used)]

#[path = "core/agreement.rs"]
mod agreement;
#[path = "core/at_hand.rs"]
mod at_hand;
#[path = "core/bedside.rs"]
mod bedside;
#[path = "core/bench.rs"]
mod bench;
#[path = "core/damage.rs"]
mod damage;
#[path = "core/disk.rs"]
mod disk;
#[path = "core/edges.rs"]
mod edges;
#[path = "core/estimating.rs"]
mod estimating;
#[path = "core/export.rs"]
mod export;
#[path = "core/findings.rs"]
mod findings;
#[path = "core/fuzz.rs"]
mod fuzz;
#[path = "core/journal.rs"]
mod journal;
#[path = "core/kill.rs"]
mod kill;
#[path = "core/kill_store.rs"]
mod kill_store;
#[path = "core/leaves.rs"]
mod leaves;
#[path = "core/never_too_loud.rs"]
mod never_too_loud;
#[path = "core/optotype.rs"]
mod optotype;
#[path = "core/pipe.rs"]
mod pipe;
#[path = "core/power_cut.rs"]
mod power_cut;
#[path = "core/practice.rs"]
mod practice;
#[path = "core/practice_sight.rs"]
mod practice_sight;
#[path = "core/procedure.rs"]
mod procedure;
#[path = "core/refusals.rs"]
mod refusals;
#[path = "core/report.rs"]
mod report;
#[path = "core/rooms.rs"]
mod rooms;
#[path = "core/sight_ways.rs"]
mod sight_ways;
#[path = "core/slots.rs"]
mod slots;
#[path = "core/stepping.rs"]
mod stepping;
#[path = "core/storage.rs"]
mod storage;
#[path = "core/store.rs"]
mod store;
#[path = "core/store_damage.rs"]
mod store_damage;
#[path = "core/store_verbs.rs"]
mod store_verbs;
#[path = "core/tone.rs"]
mod tone;
#[path = "core/trade.rs"]
mod trade;
#[path = "core/truth.rs"]
mod truth;
#[path = "core/verbs.rs"]
mod verbs;
#[path = "core/words.rs"]
mod words;
