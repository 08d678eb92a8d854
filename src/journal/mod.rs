//! The only truth of a visit: events, appended and never changed.
//!
//! Thresholds, acuity, precision and consistency are pure functions of the [`Record`], which is
//! the fold of the events. Where the bytes go is behind the small trait [`Store`].

mod agreement;
mod asking;
mod bedside;
mod chain;
mod earlier;
mod event;
mod hands;
mod history;
mod keeper;
mod outside;
mod plan;
mod practice;
mod record;
mod rules;
mod sight_rules;
mod sound;
mod store;
mod trial;
pub(crate) mod whole_file;
mod worksheet;

pub use agreement::{AgreementPlan, SightAgreementPlan};
pub use asking::{Asked, Asking};
pub use bedside::{
    Bedside, BedsidePlan, Drawn, Entered, PROMPTS, Series, SeriesPlan, Stage, scent_allowed,
    series_kind,
};
pub use chain::{ChainError, Damage, Head, Numbered, check, check_on};
pub use earlier::{EarlierThreshold, EarlierVisit};
pub use event::{
    Answer, Body, Event, FORMAT, HowEnded, MARKED_WRONG, Opening, PersonKind, Planned, Proposer,
    Purpose, Section, UNSAID, WhoPressed, named,
};
pub use hands::{Acting, Remark, Remarked, hands};
pub use history::{EyeHistory, Told, ToldAnswer};
pub use keeper::{Journal, JournalError};
pub use outside::{OutsideAcuity, OutsideResults};
pub use plan::{About, HearingPlan, Plan, SightPlan};
pub use practice::{
    Conclusion, Phrase, Practice, Practised, Said, Together, WrittenAcuity, WrittenThreshold,
};
pub use record::Record;
pub use rules::{
    AscendingRule, BracketingRule, HearingPrior, MaskingPlan, PlateauRule, Procedure, SeriesRule,
};
pub use sight_rules::{
    CardPlan, LetterDifficulty, PassRule, RowsEnd, RowsPlan, RowsShow, ScreeningPlan,
    SightProcedure,
};
pub use sound::{Listened, OutputOpened, Played, PlayedSound, PlayedWhat, Rise, SoundNote, Timing};
pub use store::{FileStore, MemoryStore, Store, Unkept};
pub use trial::{LATE_S, Open, Outcome, Press, PressKind, REACTION_S, Trial, Void};
pub use worksheet::{Entry, Found, Item, Worksheet};
