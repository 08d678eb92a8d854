//! `trials.csv`: one row a presentation, void ones included.

use super::column::{Columns, word};
use super::{Of, Table, and_visit};
use crate::journal::{Outcome, Planned, Proposer, Purpose, Trial, Void};
use crate::quantity::{Correction, Ear, Eye, Scale};
use crate::stimulus::{ByHand, Facing, HandPart, Letter, OptotypePart, OptotypeSet, SoundPart};

pub(super) const TABLE: Table = Table {
    name: "trials",
    row: "a presentation, void ones included",
    described: || columns().described(),
    written: |dossier| {
        let trials = dossier.record.trials().iter().map(Presented::Trial);
        let voids = dossier.record.voids().iter().map(Presented::Void);
        let mut all: Vec<Presented> = trials.chain(voids).collect();
        all.sort_by_key(|one| one.planned().n);
        let rows = all.into_iter().map(|one| Of { dossier, one });
        columns().csv(rows).map(Some)
    },
};

#[derive(Clone, Copy)]
enum Presented<'a> {
    Trial(&'a Trial),
    Void(&'a Void),
}

impl<'a> Presented<'a> {
    fn planned(self) -> &'a Planned {
        match self {
            Presented::Trial(trial) => &trial.planned,
            Presented::Void(void) => &void.planned,
        }
    }

    fn tone(self) -> Option<&'a SoundPart> {
        self.planned().presentation.tones().next()
    }

    fn masker(self) -> Option<&'a SoundPart> {
        self.planned().presentation.maskers().next()
    }

    fn shown(self) -> Option<&'a OptotypePart> {
        self.planned().presentation.optotypes().next()
    }

    fn hand(self) -> Option<&'a HandPart> {
        self.planned().presentation.by_hand()
    }

    fn letters(self) -> Option<String> {
        let shown = self.planned().presentation.optotypes();
        let letters: String = shown
            .filter_map(|shown| shown.symbol.letter())
            .map(Letter::char)
            .collect();
        Some(letters).filter(|letters| !letters.is_empty())
    }

    fn status(self) -> &'static str {
        match self {
            Presented::Trial(trial) if trial.undone => "undone",
            Presented::Trial(_) => "trial",
            Presented::Void(_) => "void",
        }
    }

    fn outcome(self) -> Option<&'a Outcome> {
        match self {
            Presented::Trial(trial) => Some(&trial.outcome),
            Presented::Void(_) => None,
        }
    }

    fn answer(self) -> Option<String> {
        Some(match self.outcome()? {
            Outcome::Yes { .. } => "yes".to_owned(),
            Outcome::No => "none".to_owned(),
            Outcome::Early => "early".to_owned(),
            Outcome::Chosen { facing, .. } => word(facing),
            Outcome::Interval { chosen, .. } => chosen.to_string(),
            Outcome::Named { letters, .. } => letters.clone(),
            Outcome::Sees { sees: true } => "seen".to_owned(),
            Outcome::Sees { sees: false } => "not seen".to_owned(),
        })
    }

    fn latency_s(self) -> Option<f64> {
        match self.outcome()? {
            Outcome::Yes { latency_s } => *latency_s,
            Outcome::Chosen { after_s, .. }
            | Outcome::Interval { after_s, .. }
            | Outcome::Named { after_s, .. } => *after_s,
            Outcome::No | Outcome::Early | Outcome::Sees { .. } => None,
        }
    }
}

fn scale(level: Option<Scale>) -> Option<String> {
    level.map(|scale| scale.unit().to_owned())
}

type Row<'a> = Of<'a, Presented<'a>>;

fn of_part(field: &str) -> String {
    format!("journal: planned.presentation.parts[].{field}")
}

fn columns<'a>() -> Columns<Row<'a>> {
    and_visit(answers(shown(sounds(presented()))))
}

fn presented<'a>() -> Columns<Row<'a>> {
    Columns::new()
        .count(
            "n",
            ["Its number in the visit", "journal: planned.n"],
            |row: &Row| Some(row.one.planned().n),
        )
        .one_of(
            "status",
            &["trial", "undone", "void"],
            [
                "trial: it arrived whole and counts; undone: it was taken back; void: it did not arrive",
                "journal: arrived, answered, undone, void",
            ],
            |row| Some(row.one.status().to_owned()),
        )
        .word::<Purpose>(
            "purpose",
            ["Why it was made", "journal: planned.purpose"],
            |row| Some(row.one.planned().purpose),
        )
        .word::<Proposer>(
            "by",
            ["Who decided on it", "journal: planned.by"],
            |row| Some(row.one.planned().by),
        )
        .number(
            "began_s",
            "s",
            ["When it began, from the visit's beginning", "journal: arrived.began_s"],
            |row| match row.one {
                Presented::Trial(trial) => Some(trial.began.seconds()),
                Presented::Void(_) => None,
            },
        )
}

fn sounds(columns: Columns<Row<'_>>) -> Columns<Row<'_>> {
    let scales = [Scale::DbHl, Scale::DbReExaminer, Scale::DbFs].map(Scale::unit);
    columns
        .word::<Ear>("ear", ["The ear with the tone", &of_part("ear")], |row| {
            row.one.tone().map(|tone| tone.ear)
        })
        .number(
            "frequency_hz",
            "Hz",
            ["The tone's frequency", &of_part("hz")],
            |row| row.one.tone().map(|tone| tone.hz.0),
        )
        .number(
            "level_db",
            "dB",
            [
                "The tone's level, on the scale beside it",
                &of_part("level_*"),
            ],
            |row| row.one.tone().map(|tone| tone.level.db()),
        )
        .one_of(
            "level_scale",
            &scales,
            ["What the level refers to", &of_part("level_*")],
            |row| scale(row.one.tone().map(|tone| tone.level.scale())),
        )
        .word::<Ear>(
            "masker_ear",
            ["The ear with the noise", &of_part("ear")],
            |row| row.one.masker().map(|masker| masker.ear),
        )
        .number(
            "masker_level_db",
            "dB",
            [
                "The noise's effective masking level, on the scale of the set-up",
                &of_part("level_*"),
            ],
            |row| row.one.masker().map(|masker| masker.level.db()),
        )
}

fn shown(columns: Columns<Row<'_>>) -> Columns<Row<'_>> {
    columns
        .word::<Eye>("eye", ["The eye that looked", &of_part("eye")], |row| {
            row.one.planned().presentation.eye()
        })
        .word::<OptotypeSet>(
            "optotype",
            ["The set that was drawn from", &of_part("optotype")],
            |row| row.one.shown().map(|shown| shown.optotype),
        )
        .word::<Facing>(
            "facing",
            ["To which side it opened", &of_part("facing")],
            |row| row.one.shown().and_then(|shown| shown.symbol.facing()),
        )
        .text(
            "letters",
            ["The letters shown, in reading order", &of_part("letter")],
            |row| row.one.letters(),
        )
        .yes_no(
            "crowded",
            ["With a bar on each side", &of_part("crowded")],
            |row| row.one.shown().map(|shown| shown.crowded),
        )
        .number(
            "size_log_mar",
            "logMAR",
            ["The size", &of_part("log_mar")],
            |row| row.one.shown().map(|shown| shown.log_mar.0),
        )
        .number(
            "distance_mm",
            "mm",
            ["From the eye to what was shown", &of_part("distance_mm")],
            |row| {
                let hand = || row.one.hand().map(|hand| hand.distance_mm.0);
                row.one
                    .shown()
                    .map(|shown| shown.distance_mm.0)
                    .or_else(hand)
            },
        )
        .word::<Correction>(
            "correction",
            ["What correction the eye wore", &of_part("correction")],
            |row| {
                let hand = || row.one.hand().map(|hand| hand.correction);
                row.one.shown().map(|shown| shown.correction).or_else(hand)
            },
        )
        .yes_no(
            "pinhole",
            [
                "Whether the eye looked through a pinhole",
                &of_part("pinhole"),
            ],
            |row| row.one.shown().map(|shown| shown.pinhole),
        )
        .word::<ByHand>(
            "shown_by_hand",
            ["What the examiner showed by hand", &of_part("shows")],
            |row| row.one.hand().map(|hand| hand.shows),
        )
        .text(
            "near_card",
            [
                "The number of the printed card that was read",
                &of_part("card"),
            ],
            |row| row.one.shown()?.card.map(|seed| seed.to_string()),
        )
        .count(
            "asking",
            [
                "Which asking of the eyes it belongs to; 0 is what the plan asks of the eye first",
                "journal: planned.asking",
            ],
            |row| {
                let planned = row.one.planned();
                planned.presentation.eye().map(|_| planned.asking)
            },
        )
}

fn answers(columns: Columns<Row<'_>>) -> Columns<Row<'_>> {
    columns
        .text(
            "answer",
            [
                "yes, none or early (sooner than anybody can hear) to a tone or to silence; the side \
                 chosen; seen or not seen by hand; or the letters named, - where none was, * where only that it was wrong is \
                 known",
                "journal: pressed, answered, amended",
            ],
            |row| row.one.answer(),
        )
        .number(
            "response_latency_s",
            "s",
            [
                "From onset or appearance to the answer; empty if the examiner entered it",
                "journal: pressed.at_s, answered.after_s",
            ],
            |row| row.one.latency_s(),
        )
        .text(
            "void_reason",
            ["Why it did not arrive", "journal: void.reason"],
            |row| match row.one {
                Presented::Void(void) => Some(void.reason.clone()),
                Presented::Trial(_) => None,
            },
        )
}
