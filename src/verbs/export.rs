//! The verb that hands visits over.

use super::args::ExportArgs;
use super::{Done, pool, say, say_json, with_waiting};
use crate::errand::{self, ErrandError, ExportProgress, ExportWish, ExportedAll};
use crate::report::Identity;
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::Ordering;

pub(super) fn export(args: &ExportArgs) -> Done {
    let identity = Identity {
        patient: args.patient,
        family: args.family.clone(),
        given: args.given.clone(),
        born_on: args.born_on,
    };
    let named = args.family.is_some() || args.given.is_some() || args.born_on.is_some();
    let wish = ExportWish {
        identity,
        force: args.force,
        ..ExportWish::default()
    };
    if args.from.is_dir() {
        if named {
            let what =
                "--family, --given, --born-on: expected with one journal only, found a folder";
            return Err(ErrandError::BadInput(what.into()));
        }
        return export_all(args, &wish);
    }
    let exported = errand::export(&args.from, &args.out, &wish)?;
    if args.json {
        say_json(&exported)?;
    } else {
        let files: Vec<&str> = exported.files.keys().map(String::as_str).collect();
        say(&format!(
            "{}: {}",
            exported.folder.display(),
            files.join(", ")
        ))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn export_all(args: &ExportArgs, wish: &ExportWish) -> Done {
    let progress = Arc::new(ExportProgress::default());
    let stop = Arc::clone(&progress);
    // What is in hand is brought to its end, so that there are whole files only.
    ctrlc::set_handler(move || stop.stop.store(true, Ordering::Relaxed))
        .map_err(|error| ErrandError::Failed(format!("cannot listen for Ctrl-C: {error}")))?;
    let told = || {
        let (done, of) = (&progress.done, &progress.of);
        let [done, of] = [done, of].map(|count| count.load(Ordering::Relaxed));
        format!("{done} of {of} journals")
    };
    let pool = pool(args.threads)?;
    let all = with_waiting(told, || {
        pool.install(|| errand::export_all(&args.from, &args.out, wish, &progress))
    })?;
    if args.json {
        say_json(&all)?;
    } else {
        say(&in_words(&all, args))?;
    }
    Ok(if all.left_out.is_empty() && !all.stopped {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(1)
    })
}

fn in_words(all: &ExportedAll, args: &ExportArgs) -> String {
    let mut lines: Vec<String> = all
        .left_out
        .iter()
        .map(|one| format!("left out: {}", one.why))
        .collect();
    let stopped = if all.stopped {
        "; stopped before the end"
    } else {
        ""
    };
    if all.copies > 0 {
        lines.push(format!(
            "passed over: {} copies of the same journals",
            all.copies
        ));
    }
    lines.push(format!(
        "{}: {} of {} journals exported, {} left out, {:.1} MB{stopped}",
        args.out.display(),
        all.exported,
        all.journals,
        all.left_out.len(),
        all.bytes as f64 / 1e6
    ));
    lines.join("\n")
}
