//! The verbs of a store: people, users, visits, backup, restore, mend, sign.

use super::args::VisitArgs;
use super::records_args::{
    BackupArgs, CheckArgs, FoundArgs, IdentityArgs, MendArgs, PassphraseArgs, PeopleArgs,
    PeopleVerb, RestoreArgs, RoleArg, SignArgs, StoreArgs, UsersArgs, UsersVerb, VisitsArgs,
    VisitsVerb,
};
use super::{Done, say, say_json, tell};
use crate::errand::{self, Begin, ErrandError};
use crate::journal::{Answer, Body, Remarked};
use crate::person::Person;
use crate::report::Findings;
use crate::store::{
    Archive, Code, Course, Folder, FoundVisit, Identity, Opener, Role, State, VisitsOf, shown_head,
};
use serde_json::json;
use std::io::{BufRead, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

fn bad(what: impl Into<String>) -> ErrandError {
    ErrandError::BadInput(what.into())
}

impl StoreArgs {
    pub(super) fn place(&self) -> PathBuf {
        self.store.clone().unwrap_or_else(errand::usual_store)
    }

    fn passphrase(&self) -> Result<Option<String>, ErrandError> {
        self.passphrase_file.as_deref().map(first_line).transpose()
    }

    fn opener(&self) -> Result<Option<Opener>, ErrandError> {
        if let Some(file) = &self.recovery_file {
            return Ok(Some(Opener::Recovery(first_line(file)?)));
        }
        Ok(self.passphrase()?.map(Opener::Passphrase))
    }

    /// The store, open, with whoever acts.
    pub(super) fn open(&self) -> Result<Archive, ErrandError> {
        let mut archive = errand::open_store(&self.place(), self.opener()?.as_ref())?;
        self.acts(&mut archive)?;
        Ok(archive)
    }

    fn acts(&self, archive: &mut Archive) -> Result<(), ErrandError> {
        let by = self.by.as_deref().map(|by| code("--by", by)).transpose()?;
        let supervisor = self.supervisor.as_deref();
        let supervisor = supervisor
            .map(|one| code("--supervisor", one))
            .transpose()?;
        Ok(archive.acts(by, supervisor)?)
    }
}

/// The first line of a file, or of standard input.
/// The first line of a file, or of standard input.
pub(super) fn first_line(file: &Path) -> Result<String, ErrandError> {
    let mut line = String::new();
    if file == Path::new("-") {
        let read = std::io::stdin().lock().read_line(&mut line);
        read.map_err(|error| bad(format!("standard input: {error}")))?;
    } else {
        let text = crate::journal::whole_file::settings(file)
            .map_err(|error| bad(format!("{}: {error}", file.display())))?;
        text.lines()
            .next()
            .unwrap_or_default()
            .clone_into(&mut line);
    }
    Ok(line.trim_end_matches(['\r', '\n']).to_owned())
}

fn code(field: &str, typed: &str) -> Result<Code, ErrandError> {
    typed
        .parse()
        .map_err(|what| bad(format!("{field}: {what}")))
}

/// What was noticed goes to standard error, so that standard output stays one document.
fn notice(archive: &mut Archive) {
    for line in archive.notices() {
        let _ = writeln!(std::io::stderr(), "veridical: {line}");
    }
}

fn close(mut archive: Archive) -> ExitCode {
    notice(&mut archive);
    for line in archive.close() {
        let _ = writeln!(std::io::stderr(), "veridical: {line}");
    }
    ExitCode::SUCCESS
}

/// Tells now and then how far it is.
fn progress(what: &'static str) -> impl FnMut(u64, u64) -> bool {
    let mut last = std::time::Instant::now();
    move |done, of| {
        if last.elapsed().as_secs_f64() >= 1.0 {
            last = std::time::Instant::now();
            let _ = write!(std::io::stderr(), "\r{what}: {done} of {of}");
        }
        true
    }
}

pub(super) fn found(args: &FoundArgs) -> Done {
    let passphrase = args.store.passphrase()?;
    if passphrase.is_none() && !args.unencrypted {
        return Err(bad(
            "--passphrase-file: expected a passphrase; --unencrypted makes a store that lies readable \
             on this machine",
        ));
    }
    if passphrase.is_some() && args.sheet.is_none() {
        return Err(bad(
            "--sheet: expected a file for the recovery sheet, which is made only now",
        ));
    }
    let place = args.store.place();
    let founded = errand::found_store(&place, passphrase.as_deref(), args.sheet.as_deref())?;
    let archive = founded.archive;
    if args.store.json {
        say_json(&json!({
            "store": archive.code(), "place": archive.told(), "encrypted": archive.encrypted(),
            "key": archive.public_key()
        }))?;
    } else {
        say(&format!("{}: store {}", archive.told(), archive.code()))?;
        say(&format!("public key {}", archive.public_key()))?;
        say(match (archive.encrypted(), &args.sheet) {
            (true, Some(_)) => {
                "encrypted; print the recovery sheet, lock it away, and delete the file"
            }
            _ => "not encrypted: whoever reads this machine's disk reads names and findings",
        })?;
    }
    Ok(close(archive))
}

fn identity(args: &IdentityArgs) -> Identity {
    Identity {
        name: args.name.clone(),
        born: args.born,
        number_elsewhere: args.number_elsewhere.clone(),
    }
}

pub(super) fn people(args: &PeopleArgs) -> Done {
    let mut archive = args.store.open()?;
    match &args.what {
        PeopleVerb::Find { words } => {
            let people = archive.people(&words.join(" "), 200)?;
            if args.store.json {
                say_json(&people)?;
            } else {
                for one in &people {
                    let born = one.born.as_deref().unwrap_or("");
                    let name = one.name.as_deref().unwrap_or("(taken away)");
                    say(&format!(
                        "{}  {name}  {born}  {} visits",
                        one.code, one.visits
                    ))?;
                }
                if people.is_empty() {
                    say("nobody")?;
                }
            }
        }
        PeopleVerb::Add(who) => {
            let person = archive.add_person(&identity(who))?;
            tell_code(args.store.json, "person", &person)?;
        }
        PeopleVerb::Change {
            person,
            who,
            reason,
        } => {
            archive.change_person(&code("person", person)?, &identity(who), reason)?;
            done(args.store.json)?;
        }
        PeopleVerb::Erase { person, reason } => {
            archive.erase_person(&code("person", person)?, reason)?;
            done(args.store.json)?;
        }
        PeopleVerb::Course { person } => {
            let course = errand::course_of(&mut archive, &code("person", person)?)?;
            if args.store.json {
                say_json(&course)?;
            } else {
                say(&told_course(&course))?;
            }
        }
    }
    Ok(close(archive))
}

fn tell_code(json: bool, what: &str, code: &Code) -> Result<(), ErrandError> {
    if json {
        say_json(&json!({ what: code }))
    } else {
        say(&code.to_string())
    }
}

fn done(json: bool) -> Result<(), ErrandError> {
    if json {
        say_json(&json!({"done": true}))
    } else {
        say("done")
    }
}

fn told_course(course: &Course) -> String {
    let mut lines = Vec::new();
    for point in &course.points {
        let outside = if point.from_outside {
            "  from outside, entered by hand"
        } else {
            ""
        };
        lines.push(format!("{}  {}{outside}", day(point.began), point.visit));
        for (ear, hz, level, _) in &point.thresholds {
            lines.push(format!(
                "    {ear} ear, {} Hz: {level:.0} {}",
                hz.0, point.levels
            ));
        }
        for (eye, log_mar, _) in &point.acuities {
            lines.push(format!("    {eye:?} eye: {log_mar:.2} logMAR").to_lowercase());
        }
        for (sense, word) in ["hearing", "sight"].iter().zip(point.consistency) {
            if let Some(word) = word {
                lines.push(format!("    {sense} answers: {word}"));
            }
        }
    }
    lines.extend(course.left_out.iter().map(|one| format!("left out: {one}")));
    for (then, now, all) in &course.shifts {
        lines.push(format!("from {then} to {now}"));
        for shift in all {
            let percent = 100.0 * shift.beyond_retest;
            lines.push(format!(
                "    {}: {:+.2} (two measurements of an unchanged person lie closer together {percent:.0} % of the time)",
                shift.what, shift.change
            ));
        }
    }
    if lines.is_empty() {
        lines.push("no visits".into());
    }
    lines.join("\n")
}

fn day(time: jiff::Timestamp) -> String {
    let local = time.to_zoned_datetime(jiff::tz::TimeZone::system());
    local.strftime("%Y-%m-%d %H:%M").to_string()
}

pub(super) fn users(args: &UsersArgs) -> Done {
    let mut archive = args.store.open()?;
    match &args.what {
        UsersVerb::List => {
            let users = archive.users()?;
            if args.store.json {
                say_json(&users)?;
            } else {
                for one in &users {
                    let left = if one.works_here {
                        ""
                    } else {
                        "  works here no more"
                    };
                    say(&format!("{}  {}  {}{left}", one.code, one.name, one.role))?;
                }
            }
        }
        UsersVerb::Add { name, role } => {
            let role = match role {
                RoleArg::Examiner => Role::Examiner,
                RoleArg::Supervisor => Role::Supervisor,
                RoleArg::Trainee => Role::Trainee,
            };
            let user = archive.add_user(name, role)?;
            tell_code(args.store.json, "user", &user)?;
        }
        UsersVerb::Leaves { user } => {
            archive.user_leaves(&code("user", user)?)?;
            done(args.store.json)?;
        }
    }
    Ok(close(archive))
}

pub(super) fn visits(args: &VisitsArgs) -> Done {
    let mut archive = args.store.open()?;
    let json = args.store.json;
    match &args.what {
        VisitsVerb::List { person, most } => {
            let person = person
                .as_deref()
                .map(|one| code("--person", one))
                .transpose()?;
            let visits = archive.visits(&VisitsOf {
                person,
                most: *most,
                after: 0,
            })?;
            if json {
                say_json(&visits)?;
            } else {
                for one in &visits {
                    say(&told_visit(one))?;
                }
            }
        }
        VisitsVerb::Show { visit } => show(&mut archive, &code("visit", visit)?, json)?,
        VisitsVerb::Note {
            visit,
            text,
            reason,
        } => {
            let note = Body::Noted { text: text.clone() };
            let signed = archive.add_late(&code("visit", visit)?, vec![note], reason)?;
            say_head(json, &signed.head)?;
        }
        VisitsVerb::Amend {
            visit,
            n,
            answer,
            reason,
        } => {
            let answer: Answer = serde_json::from_str(answer).map_err(|error| {
                bad(format!(
                    "--answer: expected an answer as a journal has it: {error}"
                ))
            })?;
            let amended = Body::Amended {
                n: *n,
                answer,
                reason: reason.clone(),
            };
            let signed = archive.add_late(&code("visit", visit)?, vec![amended], reason)?;
            say_head(json, &signed.head)?;
        }
        VisitsVerb::Move {
            visit,
            person,
            reason,
        } => {
            let person = person
                .as_deref()
                .map(|one| code("--person", one))
                .transpose()?;
            archive.move_visit(&code("visit", visit)?, person.as_ref(), reason)?;
            done(json)?;
        }
        VisitsVerb::Erase { visit, reason } => {
            archive.erase_visit(&code("visit", visit)?, reason)?;
            done(json)?;
        }
        VisitsVerb::Import { journal, person } => {
            let person = person
                .as_deref()
                .map(|one| code("--person", one))
                .transpose()?;
            let brought = errand::import(&mut archive, journal, person.as_ref())?;
            if brought.cut_line_left_out {
                let _ = writeln!(
                    std::io::stderr(),
                    "veridical: a last line that was cut off was left out"
                );
            }
            tell_code(json, "visit", &brought.visit)?;
        }
        VisitsVerb::Export { visit, out } => {
            errand::hand_out(&mut archive, &code("visit", visit)?, out)?;
            done(json)?;
        }
        VisitsVerb::Outside { file, person } => {
            let visit = errand::enter_outside(&mut archive, &code("--person", person)?, file)?;
            tell_code(json, "visit", &visit)?;
        }
    }
    Ok(close(archive))
}

fn told_visit(one: &FoundVisit) -> String {
    let whose = one.name.clone().or_else(|| {
        one.simulated
            .clone()
            .map(|title| format!("simulated: {title}"))
    });
    let whose = whose
        .or_else(|| one.person.as_ref().map(Code::to_string))
        .unwrap_or_default();
    let state = match (one.state, &one.erased) {
        (State::Erased, Some((by, at, why))) => {
            let by = by.as_ref().map_or("somebody".into(), Code::to_string);
            format!("  taken away by {by}, {}: {why}", day(*at))
        }
        (State::Open | State::BrokenOff, _) => "  not over".into(),
        _ => String::new(),
    };
    let summary = one
        .summary
        .as_deref()
        .map(|line| format!("  {line}"))
        .unwrap_or_default();
    format!(
        "{}  {}  {whose}  {}{state}{summary}",
        one.code,
        day(one.began),
        one.plan
    )
}

fn say_head(json: bool, head: &str) -> Result<(), ErrandError> {
    if json {
        say_json(&json!({"head": head, "head_begins": shown_head(head)}))
    } else {
        say(&format!(
            "signed anew; the head begins {}",
            shown_head(head)
        ))
    }
}

fn show(archive: &mut Archive, visit: &Code, json: bool) -> Result<(), ErrandError> {
    let found = archive.visit(visit)?;
    let findings = archive.findings(visit)?;
    if json {
        return say_json(&json!({"visit": found, "findings": findings}));
    }
    say(&told_visit(&found))?;
    say(&tell::findings(&findings))?;
    let record = archive.record(visit)?;
    for remark in record.remarks() {
        let late = if remark.late { "late, " } else { "" };
        let by = remark.by.as_ref().map_or("nobody signed in".into(), |by| {
            format!("{} {}", by.role, by.user)
        });
        let what = match &remark.what {
            Remarked::Note(text) => text.clone(),
            Remarked::Amendment { n, reason, .. } => {
                format!("presentation {n} corrected: {reason}")
            }
        };
        say(&format!("{late}{by}: {what}"))?;
    }
    if let Some(signed) = &found.signed {
        say(&format!(
            "signed head {} of {} lines",
            shown_head(&signed.head),
            signed.lines
        ))?;
    }
    Ok(())
}

/// A visit that is kept in a store; gives what was found and where it is kept.
pub(super) fn visit_in(
    args: &VisitArgs,
    wish: &Begin,
    person: &mut dyn Person,
) -> Result<(Findings, String), ErrandError> {
    let store = StoreArgs {
        store: args.store.clone(),
        passphrase_file: args.passphrase_file.clone(),
        recovery_file: None,
        by: None,
        supervisor: None,
        json: args.json,
    };
    let mut archive = store.open()?;
    let (visit, findings) = errand::headless_in(&mut archive, wish, person, args.resume)?;
    let signed = archive.visit(&visit)?.signed;
    let head = signed
        .map(|signed| shown_head(&signed.head))
        .unwrap_or_default();
    let kept = format!(
        "kept in {} as {visit}; its head begins {head}",
        archive.told()
    );
    close(archive);
    Ok((findings, kept))
}

pub(super) fn backup(args: &BackupArgs) -> Done {
    let mut archive = args.store.open()?;
    let manifest = archive.back_up(&args.out, &mut progress("files"))?;
    if args.store.json {
        say_json(&json!({"files": manifest.files.len(), "store": manifest.store}))?;
    } else {
        say(&format!(
            "{}: {} files, written and read again",
            args.out.display(),
            manifest.files.len()
        ))?;
    }
    Ok(close(archive))
}

pub(super) fn restore(args: &RestoreArgs) -> Done {
    let place = args.store.place();
    let opener = args.store.opener()?;
    crate::store::restore(&args.backup, &Folder::new(&place), &mut progress("files"))?;
    let mut archive = errand::open_store(&place, opener.as_ref()).map_err(|error| {
        // The files are there and hold; only the passphrase is missing to look inside.
        ErrandError::BadInput(format!(
            "restored to {}, and not checked: {error}",
            place.display()
        ))
    })?;
    let checked = archive.check(&mut progress("visits"))?;
    tell_checked(&checked, args.store.json)?;
    close(archive);
    Ok(if checked.holds {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(1)
    })
}

pub(super) fn mend(args: &MendArgs) -> Done {
    let disk = Box::new(Folder::new(&args.store.place()));
    let (archive, mended) = Archive::mend(disk, args.store.opener()?.as_ref())?;
    if args.store.json {
        say_json(&mended)?;
    } else {
        for line in mended.done.iter().chain(&mended.left) {
            say(line)?;
        }
        say(&format!(
            "{} visits and {} people entered again",
            mended.visits_found, mended.people_found
        ))?;
        for visit in &mended.nobodys {
            say(&format!(
                "{visit}: nobody here is known whose it is; `veridical visits move` gives it to its person"
            ))?;
        }
    }
    Ok(close(archive))
}

pub(super) fn passphrase(args: &PassphraseArgs) -> Done {
    let new = first_line(&args.new_file)?;
    if args.sheet.exists() {
        return Err(bad(format!(
            "{}: expected a new file, found one",
            args.sheet.display()
        )));
    }
    let mut archive = args.store.open()?;
    let sheet = errand::Sheet::new(&args.sheet)?;
    let (store, cost) = (archive.code().clone(), crate::store::Cost::USUAL);
    if let Some(into) = &args.into {
        let disk = Folder::new(into);
        let recovery = archive.encrypt_into(&disk, &new, cost, &mut progress("visits"))?;
        sheet.write(&store, &recovery)?;
    } else {
        let mut sheet = Some(sheet);
        archive.change_passphrase(&new, cost, &mut |recovery| {
            let written = sheet.take().map(|sheet| sheet.write(&store, recovery));
            written.unwrap_or(Ok(())).map_err(|error| error.to_string())
        })?;
    }
    done(args.store.json)?;
    Ok(close(archive))
}

pub(super) fn sign(args: &SignArgs) -> Done {
    let mut archive = args.store.open()?;
    if args.out.exists() {
        let what = "expected a new file, found one";
        return Err(ErrandError::in_file(&args.out, what));
    }
    let signed = errand::sign(&mut archive, &args.journal)?;
    let text = serde_json::to_string_pretty(&signed).unwrap_or_default() + "\n";
    std::fs::write(&args.out, text).map_err(|error| ErrandError::failed(&args.out, error))?;
    if args.store.json {
        say_json(&signed)?;
    } else {
        say(&format!(
            "{} lines, head {}, key {}",
            signed.lines,
            shown_head(&signed.head),
            signed.key
        ))?;
    }
    Ok(close(archive))
}

/// Checks a whole store.
pub(super) fn check_store(args: &CheckArgs) -> Done {
    let mut archive = args.store.open()?;
    let checked = archive.check(&mut progress("visits"))?;
    tell_checked(&checked, args.store.json)?;
    close(archive);
    Ok(if checked.holds {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(1)
    })
}

fn tell_checked(checked: &crate::store::CheckedStore, json: bool) -> Result<(), ErrandError> {
    if json {
        return say_json(checked);
    }
    for one in &checked.problems {
        say(&format!(
            "visit {}: {}",
            one.visit,
            one.problem.as_deref().unwrap_or_default()
        ))?;
    }
    for line in &checked.others {
        say(line)?;
    }
    let holds = if checked.holds {
        "everything holds"
    } else {
        "does not hold"
    };
    say(&format!("{} visits: {holds}", checked.visits))?;
    say(&format!(
        "register: {} lines, head {}",
        checked.register_lines,
        shown_head(&checked.register_head)
    ))?;
    say("what no check on this machine can find:")?;
    for line in &checked.not_found_out {
        say(&format!("- {line}"))?;
    }
    Ok(())
}
