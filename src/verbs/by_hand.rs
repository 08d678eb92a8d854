//! The verbs of what is done by hand.

use super::args::{AnswersArgs, EarArg, PowerArgs, SheetArgs};
use super::{Done, say, say_json, tell};
use crate::bedside::BedsideFindings;
use crate::bedside::cautions::REFER_NOW;
use crate::errand::{self, ErrandError, Power, PowerReport, Said, SheetWish};
use crate::journal::{PROMPTS, SeriesPlan, series_kind};
use crate::quantity::Side;
use std::fmt::Write;
use std::process::ExitCode;

pub(super) fn sheet(args: SheetArgs) -> Done {
    let kind = series_kind(&args.kind);
    let kind = kind.map_err(|what| ErrandError::BadInput(format!("--{what}")))?;
    let clock = || jiff::Timestamp::now().as_nanosecond() as u64;
    let wish = SheetWish {
        folder: args.folder,
        code: args.code,
        seed: args.seed.unwrap_or_else(clock),
        series: SeriesPlan {
            kind,
            side: args.side.map(|side| match side {
                EarArg::Right => Side::Right,
                EarArg::Left => Side::Left,
            }),
            prompts: args.prompts,
            scent: args.scent,
            together: 1,
        },
        out: args.out,
    };
    let report = errand::sheet_on_paper(&wish)?;
    if args.json {
        say_json(&report)?;
    } else {
        say(&format!(
            "{}: series {}, {} prompts, seal {}\nanswers, one letter a prompt: {}",
            wish.out.display(),
            report.series,
            report.prompts,
            report.seal,
            report.letters
        ))?;
    }
    Ok(ExitCode::SUCCESS)
}

pub(super) fn answers(args: &AnswersArgs) -> Done {
    let findings =
        errand::answers_from_paper(&args.folder, args.series, &args.letters, args.close)?;
    if args.json {
        say_json(&findings)?;
    } else {
        say(&tell::findings(&findings))?;
    }
    Ok(ExitCode::SUCCESS)
}

/// Why contrary answers to many choices look like guessing, and to a triple like more.
const CONTRARY: &str = "\
contrary: otherwise than perceived in 8 of 10 prompts, else as perceived; always: in every one. Who is right in 2 of 10
among five choices is right as often as by guessing, and no count of answers tells the two apart. The parts of a triple
are guessed so seldom that those 2 of 10 are rightly more than guessing gives";

pub(super) fn power(args: &PowerArgs) -> Done {
    let [fewest, most] = PROMPTS;
    if let Some(prompts) = args
        .prompts
        .filter(|prompts| !(fewest..=most).contains(prompts))
    {
        let what = format!("--prompts: expected {fewest} to {most}, found {prompts}");
        return Err(ErrandError::BadInput(what));
    }
    for (name, count) in [("--repeats", args.repeats), ("--orders", args.orders)] {
        if !(1..=1_000_000).contains(&count) {
            let what = format!("{name}: expected 1 to 1000000, found {count}");
            return Err(ErrandError::BadInput(what));
        }
    }
    let report = errand::power(&Power {
        seed: args.seed,
        repeats: args.repeats,
        orders: args.orders,
        prompts: args.prompts,
    })?;
    if args.json {
        say_json(&report)?;
    } else {
        say(&told(&report))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn told(report: &PowerReport) -> String {
    let mut text = format!(
        "seed {}, {} series of each kind and habit, {} orders; from simulated people, not measured \
         on people\nstatements at {} over all series of a visit: more / fewer than guessing, \
         per cent\n{:<34}{:>8}{:>13}{:>13}{:>13}{:>13}{:>14}{:>16}{:>13}\n",
        report.seed,
        report.repeats,
        report.orders,
        report.level,
        "kind",
        "prompts",
        "perceived",
        "guess",
        "contrary",
        "always",
        "guess of 5",
        "contrary of 5",
        "always of 5"
    );
    let cell = |said: &Said| format!("{:.1} / {:.1}", 100.0 * said.more, 100.0 * said.fewer);
    for kind in &report.kinds {
        let _ = writeln!(
            text,
            "{:<34}{:>8}{:>13}{:>13}{:>13}{:>13}{:>14}{:>16}{:>13}",
            kind.kind.to_string(),
            kind.prompts,
            cell(&kind.perceived),
            cell(&kind.guess),
            cell(&kind.contrary),
            cell(&kind.always_contrary),
            cell(&kind.guess_of_five),
            cell(&kind.contrary_of_five),
            cell(&kind.always_contrary_of_five),
        );
    }
    let _ = writeln!(text, "{CONTRARY}");
    let _ = writeln!(
        text,
        "one series of every kind: {:.1} % of visits with somebody who guesses got any statement",
        100.0 * report.guess_any_statement
    );
    let _ = writeln!(
        text,
        "orders, per cent\n{:<34}{:>8}{:>13}{:>18}{:>10}{:>12}{:>14}",
        "kind", "chance", "last three", "best prompt", "counts", "imbalance", "longest run"
    );
    for kind in &report.kinds {
        let Some(order) = &kind.order else { continue };
        let _ = writeln!(
            text,
            "{:<34}{:>8.1}{:>13.1}{:>18}{:>10}{:>12}{:>14}",
            kind.kind.to_string(),
            100.0 * order.chance,
            100.0 * order.best_guess_of_last_three,
            format!(
                "{:.1} (no. {})",
                100.0 * order.best_guess_at_best_prompt,
                order.best_prompt
            ),
            format!("{}-{}", order.counts[0], order.counts[1]),
            format!(
                "{:.1} of {:.1}",
                order.imbalance_mean, order.imbalance_mean_unbounded
            ),
            format!("{:.1}, {}", order.run_mean, order.run_longest),
        );
    }
    text.trim_end().to_owned()
}

/// What was done by hand, in words.
pub(super) fn findings(by_hand: &BedsideFindings) -> String {
    let mut text = String::new();
    for line in &by_hand.worksheet {
        let side = line.side.map_or(String::new(), |side| format!(", {side}"));
        let part = |part: Option<String>| part.map_or(String::new(), |part| format!(", {part}"));
        let number = line
            .number
            .map(|number| format!("{number} {}", line.unit.as_deref().unwrap_or("")));
        let comment = Some(line.comment.clone()).filter(|comment| !comment.is_empty());
        let _ = writeln!(
            text,
            "{} · {}{side}: {}{}{}{}{}{}",
            line.nerve,
            line.words,
            line.finding.words(),
            part(line.grade.clone()),
            part(number),
            part(line.measured.clone()),
            part(comment),
            part(line.who.as_ref().map(|who| format!("by {who}"))),
        );
    }
    for series in &by_hand.series {
        let side = series
            .side
            .map_or(String::new(), |side| format!(", {side}"));
        let _ = writeln!(
            text,
            "series {}, {}{side}: {}",
            series.series,
            series.kind,
            series.statement()
        );
        let counts = series
            .hits
            .iter()
            .chain(&series.false_alarms)
            .chain(&series.extinctions);
        for rate in counts {
            let [low, high] = rate.interval_95.map(|share| 100.0 * share);
            let _ = writeln!(
                text,
                "  {}: {} of {} ({low:.0} to {high:.0} %)",
                rate.what, rate.k, rate.n
            );
        }
        for extent in &series.extents {
            let ratio = extent
                .ratio
                .map_or("not known".into(), |ratio| format!("{ratio:.1}"));
            let _ = writeln!(
                text,
                "  {}: {:.0} cm at 1 m, {:.0} cm at 2 m, ratio {ratio} (2 for a field that is an angle)",
                extent.from, extent.at_1_m_cm, extent.at_2_m_cm
            );
        }
        for remark in &series.remarks {
            let _ = writeln!(text, "  {remark}");
        }
    }
    let within = by_hand.series.iter().filter_map(|one| one.sides.as_ref());
    for sides in within.chain(&by_hand.sides) {
        let stands_out = if sides.stands_out { ", stands out" } else { "" };
        let _ = writeln!(
            text,
            "{}: right {} of {}, left {} of {}, p = {:.3}{stands_out}",
            sides.what, sides.right.k, sides.right.n, sides.left.k, sides.left.n, sides.p
        );
    }
    for flag in &by_hand.refer_now {
        let _ = writeln!(text, "look at once: {flag}");
    }
    if !by_hand.series.is_empty() {
        let _ = writeln!(text, "{}", by_hand.correction);
        for caution in &by_hand.not_concluded {
            let _ = writeln!(text, "caution: {} ({})", caution.what, caution.source);
        }
    }
    let _ = writeln!(
        text,
        "refer now, whatever was found: {}",
        REFER_NOW.join("; ")
    );
    text
}
