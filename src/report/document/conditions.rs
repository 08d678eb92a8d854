//! How it was measured: method, set-up, room and people, times, and all that went otherwise than
//! planned. What is not on record is said to be not on record.

use super::filed::{Edit, civil, clock, grouped};
use super::long::facing_words;
use super::sight::optotype;
use super::{Block, Said, sound};
use crate::calibration::room::RoomTold;
use crate::calibration::{EarphoneProfile, ProfileKind, ScreenKind};
use crate::journal::{
    Answer, Body, HearingPlan, LetterDifficulty, MaskingPlan, PlayedWhat, Procedure, Section,
    SeriesRule, SightPlan, SightProcedure,
};
use crate::quantity::Sense;
use crate::report::figure::acuity::eye_name;
use crate::report::figure::audiogram::{ear_name, unit};
use crate::report::page::{Share, Text, run, size};
use crate::report::words::Key;
use crate::stimulus::Signal;

/// A little smaller than other lists: it is looked up, not read.
const SIZE: f32 = size::SMALL - 0.3;

pub(super) fn blocks(said: &Said) -> Vec<Block> {
    let column = |title, items| {
        vec![
            Block::Heading(2, said.w(title).to_owned()),
            Block::Items(items, SIZE),
        ]
    };
    let mut right = column(Key::TimesHead, times(said));
    right.extend(column(Key::WhoHead, people(said)));
    let mut left = column(Key::MethodHead, method(said));
    left.extend(column(Key::DeviationsHead, deviations(said)));
    left.extend(column(Key::LimitsHead, limits(said)));
    let mut beside = column(Key::SetUpHead, set_up(said));
    beside.append(&mut right);
    vec![
        Block::Heading(1, said.w(Key::ConditionsHead).to_owned()),
        Block::Beside(vec![(Share::Part(1.0), left), (Share::Part(1.0), beside)]),
    ]
}

pub(super) fn item(text: impl AsRef<str>) -> Text {
    vec![run(text)]
}

/// A name and what belongs to it.
pub(super) fn named(said: &Said, name: Key, text: impl AsRef<str>) -> Text {
    vec![run(format!("{}: ", said.w(name))).strong(), run(text)]
}

fn method(said: &Said) -> Vec<Text> {
    let plan = &said.filed.record.opening.plan;
    let mut all = Vec::new();
    match &plan.hearing {
        None => all.push(named(said, Key::Hearing, said.w(Key::NotInPlan))),
        Some(hearing) => {
            all.push(named(said, Key::Hearing, hearing_method(said, hearing)));
            all.push(named(said, Key::Tones, tones(said, hearing)));
            all.push(named(said, Key::Masking, masking(said, hearing)));
        }
    }
    match &plan.sight {
        None => all.push(named(said, Key::Sight, said.w(Key::NotInPlan))),
        Some(sight) => all.push(named(said, Key::Sight, sight_method(said, sight))),
    }
    let counts = said.filed.findings.counts;
    let parts = [
        counts.tones,
        counts.silent,
        counts.repeats,
        counts.optotypes,
        counts.void,
        counts.undone,
    ]
    .map(|count| count.to_string());
    let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
    all.push(named(said, Key::Presented, said.f(Key::CountsLine, &parts)));
    if said.filed.findings.bedside.is_none() {
        all.push(named(said, Key::ByHandItem, said.w(Key::ByHandNone)));
    }
    all
}

/// What the figures are not.
fn limits(said: &Said) -> Vec<Text> {
    let mut all = vec![vec![said.told(&said.filed.findings.caution)]];
    let keys = [Key::LimitSession, Key::LimitLoss];
    all.extend(keys.map(|key| item(said.w(key))));
    all
}

fn hearing_method(said: &Said, plan: &HearingPlan) -> String {
    let mut parts = Vec::new();
    for name in [Some(&plan.procedure), plan.then.as_ref()]
        .into_iter()
        .flatten()
    {
        parts.push(procedure(said, name, plan));
    }
    parts.join(" ")
}

fn procedure(said: &Said, name: &str, plan: &HearingPlan) -> String {
    match Procedure::named(name) {
        Some(Procedure::Screening) => {
            let db = said.n(plan.screening_level_db(), 0);
            said.f(Key::MethodScreening, &[&db])
        }
        Some(Procedure::Estimate) => said.w(Key::MethodEstimate).to_owned(),
        Some(Procedure::Series(SeriesRule::Ascents(rule))) => {
            let parts = [
                said.n(rule.down_db, 0),
                said.n(rule.up_db, 0),
                rule.needed.to_string(),
                rule.of.to_string(),
            ];
            said.f(
                Key::MethodAscents,
                &[&parts[0], &parts[1], &parts[2], &parts[3]],
            )
        }
        Some(Procedure::Series(SeriesRule::Bracketing(rule))) => {
            let parts = [said.n(rule.step_db, 0), rule.series.to_string()];
            said.f(Key::MethodBracketing, &[&parts[0], &parts[1]])
        }
        None => name.to_owned(),
    }
}

fn tones(said: &Said, plan: &HearingPlan) -> String {
    let signal = match plan.signal {
        Signal::Steady => Key::SignalSteady,
        Signal::Pulsed => Key::SignalPulsed,
        _ => Key::SignalWarble,
    };
    let [shortest, longest] = plan.lead_s.map(|s| said.lang.short(s));
    let parts = [
        said.w(signal).to_owned(),
        said.lang.short(plan.tone_s),
        shortest,
        longest,
        said.n(100.0 * plan.silent_share, 0),
    ];
    let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
    said.f(Key::TonesLine, &parts)
}

fn masking(said: &Said, plan: &HearingPlan) -> String {
    match plan.masking {
        MaskingPlan::None => said.w(Key::MaskingPlanNone).to_owned(),
        MaskingPlan::Plateau => {
            let rule = &plan.plateau;
            let parts = [
                rule.noise_step_db,
                rule.width_db,
                rule.within_db,
                rule.margin_db,
            ]
            .map(|db| said.n(db, 0));
            said.f(
                Key::MaskingPlanPlateau,
                &[&parts[0], &parts[1], &parts[2], &parts[3]],
            )
        }
    }
}

fn sight_method(said: &Said, plan: &SightPlan) -> String {
    let mut parts = vec![match plan.procedure {
        SightProcedure::Adaptive => {
            let choices = plan.optotype.choices().to_string();
            said.f(
                Key::MethodAdaptive,
                &[optotype(said, plan.optotype), &choices],
            )
        }
        SightProcedure::Rows => {
            let wrong = plan.rows.ends.wrong().to_string();
            said.f(Key::MethodRows, &[optotype(said, plan.optotype), &wrong])
        }
        SightProcedure::Screening => {
            let (needed, of) = plan.screening.rule(plan.optotype).counts();
            let counts = [needed, of].map(|count| count.to_string());
            let size = said.n(plan.screening.log_mar, 2);
            said.f(
                Key::MethodOneSize,
                &[optotype(said, plan.optotype), &size, &counts[0], &counts[1]],
            )
        }
        SightProcedure::NearCard => {
            let seed = plan.card.seed.to_string();
            said.f(Key::MethodNearCard, &[optotype(said, plan.optotype), &seed])
        }
        SightProcedure::ByHand => said.w(Key::MethodByHand).to_owned(),
    }];
    if plan.crowded {
        parts.push(said.w(Key::CrowdedNote).to_owned());
    }
    if plan.reverse {
        parts.push(said.w(Key::ReverseNote).to_owned());
    }
    if let Some(shown_s) = plan.shown_s {
        parts.push(said.f(Key::ShownFor, &[&said.lang.short(shown_s)]));
    }
    if plan.letter_difficulty == LetterDifficulty::Corrected {
        parts.push(said.w(Key::LettersCorrected).to_owned());
    }
    parts.join(" ")
}

fn set_up(said: &Said) -> Vec<Text> {
    let opening = &said.filed.record.opening;
    let set_up = &opening.set_up;
    let mut all = Vec::new();
    match &set_up.earphone {
        None => all.push(named(said, Key::Earphone, said.w(Key::NoEarphone))),
        Some(earphone) => all.extend(earphone_items(said, earphone)),
    }
    match &set_up.screen {
        None => all.push(named(said, Key::Screen, said.w(Key::NoScreen))),
        Some(screen) => {
            let record = screen.record();
            let kind = match record.kind {
                ScreenKind::Simulated => Key::KindSimulated,
                ScreenKind::Measured => Key::KindMeasured,
            };
            let parts = [
                record.title.clone(),
                said.w(kind).to_owned(),
                said.n(record.pixel_mm.0, 4),
                record.width_px.to_string(),
                record.height_px.to_string(),
                said.n(100.0 * record.u_rel, 1),
            ];
            let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
            let line = said.f(Key::ScreenLine, &parts);
            let made = record.made_on.map_or_else(
                || said.w(Key::DayNotKnown).to_owned(),
                |day| civil(day, said.lang),
            );
            let white = match record.white_cd_m2 {
                Some(white) => said.f(Key::WhiteIs, &[&said.n(white, 0)]),
                None => said.w(Key::WhiteNotMeasured).to_owned(),
            };
            let made = said.f(Key::ScreenMade, &[&made, &white]);
            all.push(named(said, Key::Screen, format!("{line} {made}")));
        }
    }
    let digests: Vec<String> = [
        (Key::EarphoneDigest, &opening.earphone_digest),
        (Key::ScreenDigest, &opening.screen_digest),
    ]
    .into_iter()
    .filter_map(|(name, digest)| {
        let digest = short_digest(digest.as_ref()?);
        Some(format!("{} {digest}", said.w(name)))
    })
    .collect();
    if !digests.is_empty() {
        all.push(named(said, Key::Digests, digests.join("; ")));
    }
    all.extend(sound::items(said));
    if let Some(distance) = set_up.distance_mm {
        let parts = [
            said.lang.short(distance.0 / 1000.0),
            said.n(100.0 * set_up.u_distance_rel, 1),
        ];
        let mirror = if set_up.mirrored {
            said.w(Key::ByMirror)
        } else {
            ""
        };
        let words = said.f(Key::DistanceLine, &[&parts[0], &parts[1]]);
        all.push(named(said, Key::Distance, format!("{words}{mirror}")));
    }
    all
}

fn earphone_items(said: &Said, earphone: &EarphoneProfile) -> Vec<Text> {
    let record = earphone.record();
    let kind = said.w(match record.kind {
        ProfileKind::Simulated | ProfileKind::SimulatedCapped => Key::KindSimulated,
        ProfileKind::Measured => Key::KindMeasured,
        ProfileKind::ListeningJury => Key::KindJury,
        ProfileKind::ExaminersEars => Key::KindExaminer,
        ProfileKind::Uncalibrated => Key::KindUncalibrated,
    });
    let class = record.class.map_or_else(
        || said.w(Key::ClassNotKnown).to_owned(),
        |class| format!("{}, {}", said.words(class.title()), class.standard()),
    );
    let scale = unit(earphone.scale(), said.lang);
    let made = record.made_on.map_or_else(
        || said.w(Key::DayNotKnown).to_owned(),
        |day| civil(day, said.lang),
    );
    let by = record
        .made_by
        .clone()
        .unwrap_or_else(|| said.w(Key::ByNotKnown).to_owned());
    let expires = record.expires_on.map_or_else(
        || said.w(Key::NoExpiry).to_owned(),
        |day| civil(day, said.lang),
    );
    let u = record.u_db.map_or_else(
        || said.w(Key::StandardsOwn).to_owned(),
        |u| format!("{} dB", said.n(u.0, 1)),
    );
    vec![
        named(said, Key::Earphone, format!("{}; {class}", record.title)),
        named(
            said,
            Key::Calibration,
            said.f(
                Key::CalibrationLine,
                &[kind, scale, &made, &by, &expires, &u],
            ),
        ),
    ]
}

/// The beginning of a digest, as it is compared by eye.
pub(super) fn short_digest(digest: &str) -> String {
    format!(
        "{}\u{a0}\u{2026}",
        grouped(digest.get(..16).unwrap_or(digest))
    )
}

fn times(said: &Said) -> Vec<Text> {
    let filed = said.filed;
    let from_to = |[from, to]: [_; 2]| said.f(Key::FromTo, &[&clock(from), &clock(to)]);
    let mut parts = vec![from_to([filed.began(), filed.ended()])];
    for (sense, name) in [(Sense::Hearing, Key::Hearing), (Sense::Sight, Key::Sight)] {
        if let Some(both) = filed.tested(sense) {
            parts.push(format!("{} {}", said.w(name), from_to(both)));
        }
    }
    let mut all = vec![named(said, Key::WholeVisit, parts.join("; "))];
    let pauses = filed.pauses();
    if pauses.is_empty() {
        all.push(item(said.w(Key::NoBreaks)));
    }
    for pause in pauses {
        let reason = said.words(&pause.reason);
        let words = match pause.until {
            Some(until) => said.f(
                Key::BreakFromTo,
                &[&clock(pause.from), &clock(until), &reason],
            ),
            None => said.f(Key::BreakOpen, &[&clock(pause.from), &reason]),
        };
        all.push(item(words));
    }
    if filed.simulated() {
        all.push(item(said.w(Key::MadeClock)));
    }
    all
}

/// Who and where, as far as it is on record; the rest in one sentence.
fn people(said: &Said) -> Vec<Text> {
    let filed = said.filed;
    let mut entered: Vec<&str> = filed
        .record
        .bedside()
        .entries()
        .iter()
        .map(|one| one.entry.who.as_str())
        .collect();
    entered.sort_unstable();
    entered.dedup();
    let mut all = Vec::new();
    if !entered.is_empty() {
        all.push(named(said, Key::EnteredBy, entered.join(", ")));
    }
    let acting = filed.acting();
    for one in &acting {
        let mut words = format!("{} ({})", one.user, said.words(&one.role));
        if let Some(supervisor) = &one.supervisor {
            words = format!("{words}, {}", said.f(Key::SupervisedBy, &[supervisor]));
        }
        all.push(named(said, Key::MeasuredBy, words));
    }
    let room = filed.findings.room.as_ref();
    if let Some(room) = room {
        all.push(named(said, Key::Room, room_line(said, room)));
    }
    if let Some(about) = filed.record.opening.plan.about {
        let age = about.age_years.map_or_else(
            || said.w(Key::NotOnRecord).to_owned(),
            |age| said.lang.short(age),
        );
        all.push(named(said, Key::AgeTold, age));
    }
    let mut missing = Vec::new();
    if acting.is_empty() {
        missing.push(said.w(Key::MissingPeople));
    }
    missing.push(said.w(Key::MissingPerson));
    let instructed = |body: &Body| matches!(body, Body::Played(played) if played.what == PlayedWhat::Instructions);
    if filed.count(instructed) == 0 {
        missing.push(said.w(Key::MissingInstructions));
    }
    if room.is_none() {
        missing.push(said.w(Key::MissingRoom));
    }
    missing.push(said.w(Key::MissingEars));
    let missing = format!("{}. {}", missing.join("; "), said.w(Key::AddByHand));
    all.push(named(said, Key::NotOnRecordHead, missing));
    let notes = filed.notes();
    for (time, note) in &notes {
        let words = format!("{} {}", clock(*time), said.words(note));
        all.push(named(said, Key::Note, words));
    }
    all
}

fn room_line(said: &Said, room: &RoomTold) -> String {
    let parts = [
        room.place.clone(),
        civil(room.made_on, said.lang),
        room.made_by.clone(),
        civil(room.expires_on, said.lang),
        said.n(room.u_db.0, 1),
    ];
    let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
    let bands: Vec<String> = room
        .bands
        .iter()
        .map(|band| {
            format!(
                "{} {}",
                said.lang.short(band.hz),
                said.n(band.level_db_spl.0, 0)
            )
        })
        .collect();
    let line = said.f(Key::RoomLine, &parts);
    let lowest: Vec<String> = room
        .claims
        .iter()
        .map(|claim| {
            let level = claim.lowest_db_hl;
            let level = level.map_or_else(|| "?".to_owned(), |level| said.n(level.0, 1));
            format!("{} {level}", said.lang.short(claim.hz.0))
        })
        .collect();
    let bands = said.f(Key::RoomBands, &[&bands.join(" \u{b7} ")]);
    let lowest = said.f(Key::RoomLowest, &[&lowest.join(" \u{b7} ")]);
    format!("{line} {bands} {lowest}")
}

/// All that went otherwise than planned.
fn deviations(said: &Said) -> Vec<Text> {
    let filed = said.filed;
    let mut all = Vec::new();
    let reason = |text: &str| said.words(text);
    for (why, numbers) in filed.voids() {
        let parts = [numbers.len().to_string(), reason(why), listed(&numbers)];
        all.push(item(
            said.f(Key::VoidLine, &[&parts[0], &parts[1], &parts[2]]),
        ));
    }
    all.extend(filed.edits().iter().map(|edit| item(edited(said, edit))));
    for (sections, key) in [
        (filed.ended_early(), Key::EndedLine),
        (filed.taken_up(), Key::TakenUpLine),
    ] {
        for (section, why) in sections {
            let name = section_name(said, section);
            all.push(item(said.f(key, &[&name, &reason(why)])));
        }
    }
    for name in filed.procedures() {
        all.push(item(said.f(Key::ProcedureLine, &[name])));
    }
    let by_hand = filed.by_examiner();
    if by_hand > 0 {
        all.push(item(said.f(Key::ByExaminerLine, &[&by_hand.to_string()])));
    }
    let resumed = filed.count(|body| matches!(body, Body::Resumed { .. }));
    if resumed > 0 {
        all.push(item(said.f(Key::ResumedLine, &[&resumed.to_string()])));
    }
    let repaired = filed.count(|body| matches!(body, Body::Repaired { .. }));
    if repaired > 0 {
        all.push(item(said.f(Key::RepairedLine, &[&repaired.to_string()])));
    }
    if !filed.record.closed() {
        all.push(vec![run(said.w(Key::NotClosed)).strong()]);
    }
    let earphone = filed.record.opening.set_up.earphone.as_ref();
    if earphone.is_some_and(|one| one.kind() == ProfileKind::Uncalibrated) {
        all.push(item(said.w(Key::UncalibratedNote)));
    }
    let masking = filed.record.opening.plan.hearing.as_ref();
    if masking
        .is_some_and(|plan| plan.masking == MaskingPlan::Plateau && plan.plateau.margin_db > 0.0)
    {
        all.push(item(said.w(Key::MarginNote)));
    }
    if all.is_empty() {
        all.push(item(said.w(Key::NoDeviations)));
    }
    all
}

fn section_name(said: &Said, section: Section) -> String {
    match section {
        Section::Ear(ear) => ear_name(ear, said.lang).to_owned(),
        Section::Eye(eye) => eye_name(eye, said.lang).to_owned(),
        Section::Series(n) => said.f(Key::SeriesNumber, &[&n.to_string()]),
    }
}

/// What was taken back or corrected: from what to what, when, by whom and why.
fn edited(said: &Said, edit: &Edit) -> String {
    let when = match edit.who {
        Some(who) => format!("{}, {who}", clock(edit.at)),
        None => clock(edit.at),
    };
    let (n, why) = (edit.n.to_string(), said.words(edit.reason));
    let Some((before, after)) = &edit.answer else {
        return said.f(Key::UndoneLine, &[&n, &when, &why]);
    };
    let before = before.as_ref().map_or_else(
        || said.w(Key::NotOnRecord).to_owned(),
        |before| answer_words(said, before),
    );
    let after = answer_words(said, after);
    said.f(Key::AmendedLine, &[&n, &before, &after, &when, &why])
}

fn answer_words(said: &Said, answer: &Answer) -> String {
    match answer {
        Answer::Heard(true) => said.w(Key::AnswerYes).to_owned(),
        Answer::Heard(false) => said.w(Key::AnswerNot).to_owned(),
        Answer::Facing(facing) => facing_words(said, *facing),
        Answer::Letters(letters) => letters.clone(),
        Answer::Sees(true) => said.w(Key::SeenByHand).to_owned(),
        Answer::Sees(false) => said.w(Key::NotSeenByHand).to_owned(),
        Answer::Interval(interval) => interval.to_string(),
        Answer::Reply(reply) => said.words(&reply.words()),
    }
}

/// Numbers of presentations, at most a dozen of them by name.
fn listed(numbers: &[u32]) -> String {
    let mut shown: Vec<String> = numbers.iter().take(12).map(u32::to_string).collect();
    if numbers.len() > 12 {
        shown.push("\u{2026}".to_owned());
    }
    shown.join(", ")
}
