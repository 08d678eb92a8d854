//! One visit of the store, shown: what was noted and corrected in it, and what may be added or taken away now.

use super::{Records, Wanted};
use crate::desk::parts::{field, heading, remark};
use crate::desk::style::{STEP, Theme};
use crate::journal::{Answer, Body, Outcome, Remark, Remarked};
use crate::stimulus::Facing;
use crate::store::{Code, FoundUser, FoundVisit, State};
use eframe::egui::{Button, CollapsingHeader, Ui};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

/// The visit that is shown, with what is typed to add to it.
#[derive(Debug, Clone)]
pub struct ShownVisit {
    /// Which.
    pub visit: Code,
    /// What was noted and corrected, the earliest first.
    pub remarks: Vec<Remark>,
    began: Timestamp,
    closed: bool,
    pub(super) note: String,
    pub(super) number: String,
    pub(super) answer: String,
    pub(super) reason: String,
    /// The code of the person that it belongs to instead.
    pub(super) to: String,
}

impl Records {
    /// The visit that is shown.
    #[must_use]
    pub fn shown(&self) -> Option<&ShownVisit> {
        self.shown.as_ref()
    }

    /// Shows a visit with its notes, or hides the one that is shown.
    pub fn show(&mut self, visit: &FoundVisit) {
        if self.shown.take().is_some_and(|one| one.visit == visit.code) {
            return;
        }
        let record = self.ask(|archive| archive.record(&visit.code));
        self.shown = record.map(|record| ShownVisit {
            visit: visit.code.clone(),
            remarks: record.remarks().to_vec(),
            began: visit.began,
            closed: record.closed(),
            note: String::new(),
            number: String::new(),
            answer: String::new(),
            reason: String::new(),
            to: String::new(),
        });
    }

    /// Adds the note that was typed.
    pub fn note(&mut self) {
        let Some(shown) = self.shown.clone() else {
            return;
        };
        let text = shown.note.trim().to_owned();
        self.add_late(&shown, Body::Noted { text });
    }

    /// Corrects the answer that was typed; the one that stood there stays on record.
    pub fn correct(&mut self) {
        let Some(shown) = self.shown.clone() else {
            return;
        };
        let number = shown.number.trim().parse();
        let typed = number
            .map_err(|_| format!("Presentation: expected a number, found '{}'", shown.number));
        match typed.and_then(|n| Ok((n, answer_typed(&shown.answer)?))) {
            Ok((n, answer)) => {
                let reason = shown.reason.trim().to_owned();
                self.add_late(&shown, Body::Amended { n, answer, reason });
            }
            Err(what) => self.message = Some(what),
        }
    }

    fn add_late(&mut self, shown: &ShownVisit, what: Body) {
        let signed = self.ask(|archive| archive.add_late(&shown.visit, vec![what], &shown.reason));
        let Some(signed) = signed else { return };
        let head = crate::store::shown_head(&signed.head);
        self.message = Some(format!(
            "Added, marked late. The visit was signed anew; its head begins {head}."
        ));
        self.refresh();
        self.shown = None;
        let again = self
            .visits
            .iter()
            .find(|one| one.code == shown.visit)
            .cloned();
        if let Some(visit) = again {
            self.show(&visit);
        }
    }

    /// Gives the visit that is shown to the person whose code was typed.
    pub fn move_visit(&mut self) {
        let Some(shown) = self.shown.clone() else {
            return;
        };
        let person: Code = match shown.to.trim().parse() {
            Ok(person) => person,
            Err(error) => {
                self.message = Some(format!("Whose it is: {error}"));
                return;
            }
        };
        let moved =
            self.ask(|archive| archive.move_visit(&shown.visit, Some(&person), &shown.reason));
        if moved.is_some() {
            self.choose_again();
            self.message = Some(format!(
                "{} belongs to {person} now; its journal keeps the code that it began with.",
                shown.visit
            ));
        }
    }

    /// Takes the visit that is shown away; who, when and why stays.
    pub fn erase_visit(&mut self) {
        let Some(shown) = self.shown.clone() else {
            return;
        };
        if self
            .ask(|archive| archive.erase_visit(&shown.visit, &shown.reason))
            .is_some()
        {
            self.message = Some(format!(
                "{} was taken away; who did it, when and why stays in the register.",
                shown.visit
            ));
            (self.shown, self.course) = (None, None);
            self.refresh();
        }
    }
}

/// An answer by its word.
fn answer_typed(typed: &str) -> Result<Answer, String> {
    let word = typed.trim().to_lowercase();
    let facing = word.replace([' ', '-'], "_");
    if let Ok(facing) = serde_json::from_value::<Facing>(facing.into()) {
        return Ok(Answer::Facing(facing));
    }
    let is_letter = |sign: char| sign.is_ascii_alphabetic() || matches!(sign, '-' | '*');
    match word.as_str() {
        "heard" => Ok(Answer::Heard(true)),
        "not heard" => Ok(Answer::Heard(false)),
        "seen" => Ok(Answer::Sees(true)),
        "not seen" => Ok(Answer::Sees(false)),
        "1" => Ok(Answer::Interval(1)),
        "2" => Ok(Answer::Interval(2)),
        letters if !letters.is_empty() && letters.chars().all(is_letter) => {
            Ok(Answer::Letters(letters.to_uppercase()))
        }
        _ => Err(format!(
            "Answer: expected 'heard', 'not heard', a direction such as 'up left', letters, 'seen', 'not seen', or an \
             interval 1 or 2; found '{typed}'"
        )),
    }
}

fn facing_word(facing: Facing) -> String {
    let word = serde_json::to_value(facing).ok();
    let word = word.as_ref().and_then(|word| word.as_str());
    word.unwrap_or_default().replace('_', " ")
}

fn answer_word(answer: &Answer) -> String {
    match answer {
        Answer::Heard(heard) => if *heard { "heard" } else { "not heard" }.into(),
        Answer::Facing(facing) => facing_word(*facing),
        Answer::Letters(letters) => letters.clone(),
        Answer::Sees(sees) => if *sees { "seen" } else { "not seen" }.into(),
        Answer::Interval(which) => which.to_string(),
        Answer::Reply(reply) => format!("{reply:?}").to_lowercase(),
    }
}

fn outcome_word(outcome: &Outcome) -> String {
    match outcome {
        Outcome::Yes { .. } => "heard".into(),
        Outcome::No => "not heard".into(),
        Outcome::Early => "answered too early".into(),
        Outcome::Chosen { facing, .. } => facing_word(*facing),
        Outcome::Sees { sees } => answer_word(&Answer::Sees(*sees)),
        Outcome::Interval { chosen, .. } => chosen.to_string(),
        Outcome::Named { letters, .. } => letters.clone(),
    }
}

/// The name of whoever has this code, as long as they are known here.
pub(super) fn name_of(users: &[FoundUser], code: &str) -> String {
    let known = users.iter().find(|one| one.code.to_string() == code);
    known.map_or_else(|| code.to_owned(), |one| one.name.clone())
}

pub(super) fn when(time: Timestamp) -> String {
    let local = time.to_zoned_datetime(TimeZone::system());
    local.strftime("%Y-%m-%d %H:%M").to_string()
}

/// One remark in a line.
fn told(shown: &ShownVisit, users: &[FoundUser], one: &Remark) -> String {
    let since = SignedDuration::from_micros(one.at.micros());
    let at = shown.began.checked_add(since).map(when).unwrap_or_default();
    let late = if one.late { "late entry, " } else { "" };
    let by = one.by.as_ref().map_or_else(
        || "nobody signed in".into(),
        |by| format!("{} ({})", name_of(users, &by.user), by.role),
    );
    let what = match &one.what {
        Remarked::Note(text) => text.clone(),
        Remarked::Amendment {
            n,
            before,
            answer,
            reason,
        } => {
            let before = before
                .as_ref()
                .map_or_else(|| "what stood there".into(), outcome_word);
            format!(
                "presentation {n}: {before}, corrected to {}, because {reason}",
                answer_word(answer)
            )
        }
    };
    format!("{late}{at}, {by}: {what}")
}

/// Draws what belongs to the visit that is shown, under its line in the list.
pub(super) fn draw(
    ui: &mut Ui,
    theme: &Theme,
    shown: &mut ShownVisit,
    users: &[FoundUser],
    state: State,
) -> Option<Wanted> {
    let mut wanted = None;
    ui.indent("shown", |ui| {
        for one in &shown.remarks {
            ui.label(told(shown, users, one));
        }
        if shown.remarks.is_empty() {
            remark(ui, theme, "No notes and no corrections.");
        }
        if state == State::Erased {
            return;
        }
        let width = (ui.available_width() - 24.0).clamp(120.0, 420.0);
        heading(ui, theme, "Whatever is added or taken away needs a reason, which stays");
        field(ui, "Reason", "why", width, &mut shown.reason);
        let because = !shown.reason.trim().is_empty();
        if shown.closed {
            heading(ui, theme, "A late note");
            field(ui, "Late note", "what was told or noticed", width, &mut shown.note);
            let ready = because && !shown.note.trim().is_empty();
            if ui.add_enabled(ready, Button::new("Add the note")).clicked() {
                wanted = Some(Wanted::Note);
            }
            heading(ui, theme, "A corrected answer; the one that stood there stays visible");
            ui.horizontal_wrapped(|ui| {
                field(ui, "Presentation", "its number", 110.0, &mut shown.number);
                field(ui, "Answer", "heard, up left, letters", 200.0, &mut shown.answer);
            });
            let ready = because && !shown.number.trim().is_empty();
            if ui.add_enabled(ready, Button::new("Correct the answer")).clicked() {
                wanted = Some(Wanted::Correct);
            }
        } else {
            remark(ui, theme, "Notes and corrections can be added here once the visit is over.");
        }
        CollapsingHeader::new("It belongs to somebody else").show(ui, |ui| {
            field(ui, "Whose it is", "that person's code", width, &mut shown.to);
            let ready = because && !shown.to.trim().is_empty();
            if ui.add_enabled(ready, Button::new("Move it there")).clicked() {
                wanted = Some(Wanted::MoveVisit);
            }
        });
        CollapsingHeader::new("Take this visit away").show(ui, |ui| {
            remark(ui, theme, "Its files are removed and cannot be had back. A line stays that says who did it, when and why.");
            if ui.add_enabled(because, Button::new("Take it away for good")).clicked() {
                wanted = Some(Wanted::EraseVisit);
            }
        });
    });
    ui.add_space(STEP);
    wanted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_typed_answer_is_the_one_that_is_told_again() {
        let mut words = vec![
            "heard",
            "not heard",
            "seen",
            "not seen",
            "1",
            "2",
            "up left",
            "down",
            "KRS-*",
        ];
        words.extend(["right", "down right"]);
        for word in words {
            assert_eq!(answer_word(&answer_typed(word).unwrap()), word);
        }
        for word in ["", "3", "kr s", "5 dB"] {
            let told = answer_typed(word).unwrap_err();
            assert!(told.contains("expected") && told.contains(word), "{told}");
        }
    }
}
