//! How people and visits are drawn.

use super::shown::{self, ShownVisit, name_of, when};
use super::{Records, Standing, elsewhere, who};
use crate::desk::parts::{choices, field, heading, remark, row, secret};
use crate::desk::style::{self, STEP, TARGET, Theme, type_size};
use crate::store::{Code, Course, FoundPerson, FoundUser, FoundVisit, Role, State};
use eframe::egui::{self, Button, CollapsingHeader, RichText, ScrollArea, Ui, Vec2};
use jiff::tz::TimeZone;
use std::time::Duration;

/// What was asked for on the page.
#[derive(Debug, Clone, PartialEq)]
pub enum Wanted {
    /// Make the store.
    Found,
    /// Write the recovery sheet.
    Sheet,
    /// The recovery sheet was seen to.
    SheetDone,
    /// Open the store, or unlock the desk.
    Open,
    /// Show this person's visits, or everybody's.
    Choose(Option<Box<FoundPerson>>),
    /// Enter the person that was typed.
    Add,
    /// Lay the visits beside one another.
    Compare,
    /// A visit for this person.
    Visit(Code),
    /// Go on with a visit that was left.
    GoOn(Box<FoundVisit>),
    /// This user acts; nobody, if none.
    Acts(Option<Code>, Option<Code>),
    /// Show the report of a visit.
    Report(Box<FoundVisit>),
    /// Show a visit with its notes, or hide it.
    Show(Box<FoundVisit>),
    /// Add the note that was typed.
    Note,
    /// Correct the answer that was typed.
    Correct,
    /// Take the visit that is shown away.
    EraseVisit,
    /// Take away who the chosen person is.
    ErasePerson,
    /// Enter the user that was typed.
    AddUser,
    /// This user works here no more.
    UserLeaves(Code),
    /// Correct who the chosen person is.
    CorrectPerson,
    /// Bring in the journal whose file was typed.
    BringIn,
    /// Enter the results that were typed.
    EnterResults,
    /// Give the visit that is shown to the person whose code was typed.
    MoveVisit,
    /// Copy the whole store.
    BackUp,
    /// Check the whole store.
    CheckAll,
    /// Stop what is done with the whole store.
    StopWork,
    /// Make the store of a backup.
    Restore,
    /// Lock the desk.
    Lock,
}

/// How often the page looks how far the work is.
const LOOK: Duration = Duration::from_millis(100);
const FIELD: f32 = 330.0;

/// Draws the page.
pub(in crate::desk) fn draw(ui: &mut Ui, theme: &Theme, records: &mut Records) -> Option<Wanted> {
    if let Some(recovery) = records.recovery().map(str::to_owned) {
        return sheet(ui, theme, records, &recovery);
    }
    match records.standing() {
        Standing::None => found(ui, theme, records),
        Standing::Closed => closed(ui, theme, records),
        Standing::Working => working(ui, theme, records),
        Standing::Open => open(ui, theme, records),
    }
}

/// Draws the lock, and nothing of what lies behind it.
pub(in crate::desk) fn draw_locked(
    ui: &mut Ui,
    theme: &Theme,
    records: &mut Records,
) -> Option<Wanted> {
    let mut wanted = None;
    style::sheet(theme).show(ui, |ui| {
        ui.label(RichText::new("Locked").size(type_size::HEADING));
        if records.encrypted() {
            wanted = passphrase(ui, records, "Unlock");
        } else {
            remark(
                ui,
                theme,
                "This store has no passphrase: the lock hides what is on the screen, and keeps nobody out.",
            );
            if ui.add(style::primary(theme, "Unlock")).clicked() {
                wanted = Some(Wanted::Open);
            }
        }
        say(ui, theme, records);
    });
    wanted
}

fn say(ui: &mut Ui, theme: &Theme, records: &Records) {
    if let Some(message) = records.message() {
        ui.label(RichText::new(message).color(theme.alert));
    }
}

fn passphrase(ui: &mut Ui, records: &mut Records, what: &str) -> Option<Wanted> {
    let typed = secret(ui, "Passphrase", FIELD, &mut records.passphrase[0]);
    let entered = typed.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    let pressed = ui
        .add(Button::new(what).min_size(Vec2::new(3.0 * TARGET, TARGET)))
        .clicked();
    (entered || pressed).then_some(Wanted::Open)
}

fn found(ui: &mut Ui, theme: &Theme, records: &mut Records) -> Option<Wanted> {
    let mut wanted = None;
    style::sheet(theme).show(ui, |ui| {
        ui.label(RichText::new("A store for people and visits").size(type_size::LARGE));
        let place = records.place().display().to_string();
        remark(ui, theme, &format!("It will lie in {place}. A visit can also be kept in a folder of its own, without one."));
        ui.add_space(STEP);
        ui.label("A passphrase is recommended: with one, names, visits and journals lie encrypted on this machine.");
        row(ui, theme, "Passphrase", |ui| {
            secret(ui, "A new passphrase", FIELD, &mut records.passphrase[0]);
        });
        row(ui, theme, "Once more", |ui| {
            secret(ui, "The same again", FIELD, &mut records.passphrase[1]);
        });
        let problem = records.passphrase_problem();
        if let Some(problem) = problem.as_deref().filter(|_| !records.passphrase[0].is_empty()) {
            ui.label(RichText::new(problem).color(theme.alert));
        }
        ui.checkbox(&mut records.plainly, "Without a passphrase: whoever reads this machine's disk reads names and findings");
        let ready = records.plainly || problem.is_none();
        let text = if records.plainly { "Make a store that lies readable" } else { "Make an encrypted store" };
        if ui.add_enabled(ready, style::primary(theme, text)).clicked() {
            wanted = Some(Wanted::Found);
        }
        ui.add_space(STEP);
        row(ui, theme, "Or restore", |ui| {
            field(ui, "Backup", "where a backup lies, for instance /media/disk/backup.tar", FIELD, &mut records.copy_at);
            let typed = !records.copy_at.trim().is_empty();
            if ui.add_enabled(typed, Button::new("Make the store of this backup")).clicked() {
                wanted = Some(Wanted::Restore);
            }
        });
        say(ui, theme, records);
    });
    wanted
}

fn sheet(ui: &mut Ui, theme: &Theme, records: &Records, recovery: &str) -> Option<Wanted> {
    let mut wanted = None;
    style::sheet(theme).show(ui, |ui| {
        ui.label(RichText::new("The recovery code").size(type_size::LARGE));
        ui.label(RichText::new(recovery).monospace().size(type_size::LARGE));
        remark(
            ui,
            theme,
            "It opens the store when the passphrase is lost, and is shown only now. It is kept nowhere: print the sheet or write the code down, and lock it away.",
        );
        ui.horizontal(|ui| {
            if ui.button("Write the sheet to be printed").clicked() {
                wanted = Some(Wanted::Sheet);
            }
            if ui.add(style::primary(theme, "I have it on paper")).clicked() {
                wanted = Some(Wanted::SheetDone);
            }
        });
        say(ui, theme, records);
    });
    wanted
}

fn closed(ui: &mut Ui, theme: &Theme, records: &mut Records) -> Option<Wanted> {
    let mut wanted = None;
    style::sheet(theme).show(ui, |ui| {
        ui.label(RichText::new("The store is closed").size(type_size::LARGE));
        remark(ui, theme, &records.place().display().to_string());
        if records.encrypted() {
            wanted = passphrase(ui, records, "Open");
        } else if ui.button("Open").clicked() {
            wanted = Some(Wanted::Open);
        }
        say(ui, theme, records);
    });
    wanted
}

/// What is being done with the whole store, and the way to stop it.
fn working(ui: &mut Ui, theme: &Theme, records: &Records) -> Option<Wanted> {
    let (what, done, of) = records.working()?;
    ui.ctx().request_repaint_after(LOOK);
    let mut wanted = None;
    style::sheet(theme).show(ui, |ui| {
        ui.label(RichText::new(what).size(type_size::LARGE));
        let known = of > 0;
        let share = if known { done as f32 / of as f32 } else { 0.0 };
        let text = if known {
            format!("{done} of {of}")
        } else {
            "reading".into()
        };
        let bar = egui::ProgressBar::new(share).text(text).animate(!known);
        ui.add(bar.desired_width(FIELD));
        if ui
            .add(Button::new("Stop").min_size(Vec2::new(3.0 * TARGET, TARGET)))
            .clicked()
        {
            wanted = Some(Wanted::StopWork);
        }
    });
    wanted
}

fn open(ui: &mut Ui, theme: &Theme, records: &mut Records) -> Option<Wanted> {
    let mut wanted = above(ui, theme, records);
    let width = (0.42 * ui.available_width()).max(280.0);
    ui.horizontal_top(|ui| {
        ui.vertical(|ui| {
            ui.set_width(width);
            wanted = people(ui, theme, records).or(wanted.take());
        });
        ui.vertical(|ui| wanted = visits(ui, theme, records).or(wanted.take()));
    });
    wanted
}

/// Who acts, and what concerns the whole store.
fn above(ui: &mut Ui, theme: &Theme, records: &mut Records) -> Option<Wanted> {
    let mut wanted = None;
    if !records.encrypted() {
        ui.label(
            RichText::new(
                "Not encrypted: whoever reads this machine's disk reads names and findings.",
            )
            .color(theme.alert),
        );
    }
    say(ui, theme, records);
    ui.horizontal_wrapped(|ui| {
        wanted = who::acts(ui, theme, records);
        if ui.button("Copy the whole store").clicked() {
            wanted = Some(Wanted::BackUp);
        }
        if ui.button("Check the whole store").clicked() {
            wanted = Some(Wanted::CheckAll);
        }
        if ui.button("Lock  F8").clicked() {
            wanted = Some(Wanted::Lock);
        }
    });
    let nobody = !records.users().iter().any(|one| one.works_here);
    CollapsingHeader::new("Who works here")
        .default_open(nobody)
        .show(ui, |ui| {
            wanted = users(ui, theme, records).or(wanted.take());
        });
    wanted
}

/// Everybody who works here, and a line to enter somebody.
fn users(ui: &mut Ui, theme: &Theme, records: &mut Records) -> Option<Wanted> {
    let mut wanted = None;
    for one in records.users().iter().filter(|one| one.works_here) {
        ui.horizontal(|ui| {
            ui.label(format!("{}, {}   {}", one.name, one.role, one.code));
            if ui.button("Works here no more").clicked() {
                wanted = Some(Wanted::UserLeaves(one.code.clone()));
            }
        });
    }
    ui.horizontal_wrapped(|ui| {
        field(
            ui,
            "Colleague",
            "name of a colleague",
            220.0,
            &mut records.new_user.0,
        );
        let roles = Role::ALL.map(|role| (role, role.name()));
        choices(ui, &roles, &mut records.new_user.1);
        let ready = !records.new_user.0.trim().is_empty();
        if ui
            .add_enabled(ready, Button::new("Enter this colleague"))
            .clicked()
        {
            wanted = Some(Wanted::AddUser);
        }
    });
    remark(
        ui,
        theme,
        "Whoever is chosen above acts, and each entry is theirs. This attributes; only the passphrase keeps anybody out.",
    );
    wanted
}

fn people(ui: &mut Ui, theme: &Theme, records: &mut Records) -> Option<Wanted> {
    let mut wanted = None;
    field(
        ui,
        "Find",
        "name, day of birth, number or code",
        FIELD,
        &mut records.words,
    );
    records.find();
    if ui
        .selectable_label(records.chosen().is_none(), "Everybody's latest visits")
        .clicked()
    {
        wanted = Some(Wanted::Choose(None));
    }
    let height = (ui.available_height() - 250.0).max(120.0);
    let scroll = ScrollArea::vertical()
        .id_salt("people")
        .max_height(height)
        .auto_shrink(false);
    scroll.show(ui, |ui| {
        for one in records.people() {
            let chosen = records.chosen().is_some_and(|other| other.code == one.code);
            let name = one.name.as_deref().unwrap_or("(taken away)");
            let born = one.born.as_deref().unwrap_or("");
            let text = format!("{name}   {born}   {}", one.code);
            if ui.selectable_label(chosen, text).clicked() {
                wanted = Some(Wanted::Choose(Some(Box::new(one.clone()))));
            }
        }
        if records.people().is_empty() {
            remark(ui, theme, "Nobody.");
        }
    });
    heading(ui, theme, "Enter a person");
    field(ui, "Name", "name", FIELD, &mut records.new.name);
    field(
        ui,
        "Born",
        "day of birth, year-month-day",
        FIELD,
        &mut records.new.born,
    );
    field(
        ui,
        "Number",
        "a number elsewhere",
        FIELD,
        &mut records.new.number,
    );
    let ready = !records.new.name.trim().is_empty();
    if ui.add_enabled(ready, Button::new("Enter")).clicked() {
        wanted = Some(Wanted::Add);
    }
    wanted
}

fn visits(ui: &mut Ui, theme: &Theme, records: &mut Records) -> Option<Wanted> {
    let mut wanted = None;
    if let Some(person) = records.chosen.clone() {
        let name = person.name.as_deref().unwrap_or("(taken away)");
        ui.label(RichText::new(name).size(type_size::LARGE));
        remark(
            ui,
            theme,
            &format!("{}   {} visits", person.code, person.visits),
        );
        ui.horizontal(|ui| {
            if ui
                .add(style::primary(theme, "A visit for this person"))
                .clicked()
            {
                wanted = Some(Wanted::Visit(person.code.clone()));
            }
            if ui
                .add_enabled(person.visits > 0, Button::new("Compare visits"))
                .clicked()
            {
                wanted = Some(Wanted::Compare);
            }
        });
    }
    let mut shown = records.shown.take();
    ScrollArea::vertical()
        .id_salt("visits")
        .auto_shrink(false)
        .show(ui, |ui| {
            if records.chosen().is_some_and(|person| person.name.is_some()) {
                wanted = who::correct(ui, records).or(wanted.take());
                wanted = forget(ui, theme, &mut records.forget_why).or(wanted.take());
            }
            wanted = elsewhere::draw(ui, theme, records).or(wanted.take());
            if let Some(told) = records.course() {
                course(ui, theme, told);
            }
            for one in records.visits() {
                wanted = visit(ui, theme, one, records.users(), shown.as_mut()).or(wanted.take());
            }
            if records.visits().is_empty() {
                remark(ui, theme, "No visits.");
            }
        });
    records.shown = shown;
    wanted
}

/// Takes away who a person is.
fn forget(ui: &mut Ui, theme: &Theme, why: &mut String) -> Option<Wanted> {
    let mut wanted = None;
    CollapsingHeader::new("Take this name away").show(ui, |ui| {
        remark(ui, theme, "What was measured stays, under a code that leads to nobody. A line stays that says who did this, when and why.");
        field(ui, "Why the name goes", "why", FIELD, why);
        let ready = !why.trim().is_empty();
        if ui.add_enabled(ready, Button::new("Take the name away for good")).clicked() {
            wanted = Some(Wanted::ErasePerson);
        }
    });
    wanted
}

fn visit(
    ui: &mut Ui,
    theme: &Theme,
    one: &FoundVisit,
    users: &[FoundUser],
    shown: Option<&mut ShownVisit>,
) -> Option<Wanted> {
    let mut wanted = None;
    let began = when(one.began);
    let simulated = one
        .simulated
        .as_ref()
        .map(|title| format!("simulated: {title}"));
    let whose = one.name.clone().or(simulated).unwrap_or_default();
    ui.label(format!("{began}   {whose}   {}", one.plan));
    let open = matches!(one.state, State::Open | State::BrokenOff);
    let line = match (&one.summary, &one.erased) {
        (_, Some((by, at, why))) => {
            let by = by.as_ref().map(|by| name_of(users, &by.to_string()));
            let by = by.unwrap_or_else(|| "somebody not signed in".into());
            format!("taken away by {by}, {}: {why}", when(*at))
        }
        (Some(summary), _) => summary.clone(),
        _ if open => "not over".into(),
        _ => String::new(),
    };
    let head = one
        .signed
        .as_ref()
        .map(|signed| crate::store::shown_head(&signed.head));
    let head = head
        .map(|head| format!("   head {head}"))
        .unwrap_or_default();
    remark(ui, theme, &format!("{line}   {}{head}", one.code));
    if open && ui.button("Go on with it").clicked() {
        wanted = Some(Wanted::GoOn(Box::new(one.clone())));
    }
    let here = shown.filter(|shown| shown.visit == one.code);
    if one.state != State::Erased {
        let text = if here.is_some() {
            "Hide"
        } else {
            "Notes and corrections"
        };
        ui.horizontal(|ui| {
            if ui.button(text).clicked() {
                wanted = Some(Wanted::Show(Box::new(one.clone())));
            }
            if !open && ui.button("Report").clicked() {
                wanted = Some(Wanted::Report(Box::new(one.clone())));
            }
        });
    }
    if let Some(here) = here {
        wanted = shown::draw(ui, theme, here, users, one.state).or(wanted);
    }
    ui.add_space(STEP);
    wanted
}

fn course(ui: &mut Ui, theme: &Theme, course: &Course) {
    style::sheet(theme).show(ui, |ui| {
        heading(ui, theme, "Beside one another, the earliest first");
        let hz: std::collections::BTreeSet<(String, u64)> = course
            .points
            .iter()
            .flat_map(|point| point.thresholds.iter().map(|(ear, hz, ..)| (ear.to_string(), hz.0 as u64)))
            .collect();
        egui::Grid::new("course").striped(true).spacing(Vec2::new(14.0, 4.0)).show(ui, |ui| {
            ui.label("");
            for point in &course.points {
                let day = point.began.to_zoned_datetime(TimeZone::system()).strftime("%Y-%m-%d").to_string();
                let outside = if point.from_outside { "*" } else { "" };
                ui.label(format!("{day}{outside}"));
            }
            ui.end_row();
            for (ear, hz) in &hz {
                ui.label(format!("{ear}, {hz} Hz"));
                for point in &course.points {
                    let here = point.thresholds.iter().find(|(side, at, ..)| side.to_string() == *ear && at.0 as u64 == *hz);
                    ui.label(here.map_or("-".into(), |(.., level, _)| format!("{level:.0}")));
                }
                ui.end_row();
            }
            for eye in crate::quantity::Eye::ALL {
                let any = course.points.iter().any(|point| point.acuities.iter().any(|(other, ..)| *other == eye));
                if !any {
                    continue;
                }
                ui.label(format!("{eye:?} eye, logMAR").to_lowercase());
                for point in &course.points {
                    let here = point.acuities.iter().find(|(other, ..)| *other == eye);
                    ui.label(here.map_or("-".into(), |(_, log_mar, _)| format!("{log_mar:.2}")));
                }
                ui.end_row();
            }
            for (at, sense) in ["hearing answers", "sight answers"].iter().enumerate() {
                ui.label(*sense);
                for point in &course.points {
                    ui.label(point.consistency[at].unwrap_or("-"));
                }
                ui.end_row();
            }
        });
        let late: usize = course.points.iter().map(|point| point.late_entries).sum();
        if late > 0 {
            remark(ui, theme, &format!("{late} late notes and corrections among these visits"));
        }
        if course.points.iter().any(|point| point.from_outside) {
            remark(ui, theme, "* from outside, entered by hand; no change is reckoned from it");
        }
        for (then, now, all) in &course.shifts {
            let beyond: Vec<String> = all
                .iter()
                .filter(|shift| shift.beyond_retest >= 0.95)
                .map(|shift| format!("{} by {:+.2}", shift.what, shift.change))
                .collect();
            let text = if beyond.is_empty() {
                format!("From {then} to {now}: nothing changed by more than 95 in 100 pairs of measurements of unchanged people differ.")
            } else {
                format!(
                    "From {then} to {now}, by more than 95 in 100 pairs of measurements of unchanged people differ: {}. Of many figures some do so by chance.",
                    beyond.join(", ")
                )
            };
            remark(ui, theme, &text);
        }
    });
}
