//! The verbs `report` and `pictures`.

use super::args::{LangArg, PaperArg, PicturesArgs, ReportArgs};
use super::{Done, say, say_json};
use crate::errand;
use crate::report::words::Lang;
use crate::report::{PaperSize, ReportWish};
use serde::Serialize;
use std::path::PathBuf;
use std::process::ExitCode;

#[derive(Serialize)]
struct Told {
    file: PathBuf,
    pages: usize,
    bytes: usize,
}

pub(super) fn report(args: &ReportArgs) -> Done {
    let wish = ReportWish {
        paper: match args.paper {
            PaperArg::A4 => PaperSize::A4,
            PaperArg::Letter => PaperSize::Letter,
        },
        lang: lang(args.lang),
        long: args.long,
        for_person: args.for_person,
    };
    let name = errand::report_name(args.for_person);
    let out = args
        .out
        .clone()
        .unwrap_or_else(|| args.journal.with_file_name(name));
    let made = errand::report(&args.journal, wish, &out, args.force)?;
    if args.json {
        say_json(&Told {
            file: made.file,
            pages: made.pages,
            bytes: made.bytes,
        })?;
        return Ok(ExitCode::SUCCESS);
    }
    let pages = if made.pages == 1 { "page" } else { "pages" };
    say(&format!(
        "{}: {} {pages}, {} bytes",
        made.file.display(),
        made.pages,
        made.bytes
    ))?;
    Ok(ExitCode::SUCCESS)
}

fn lang(told: LangArg) -> Lang {
    match told {
        LangArg::En => Lang::English,
        LangArg::De => Lang::German,
    }
}

#[derive(Serialize)]
struct Drawn {
    files: Vec<PathBuf>,
}

pub(super) fn pictures(args: &PicturesArgs) -> Done {
    let files = errand::pictures(&args.journal, lang(args.lang), &args.out, args.force)?;
    if args.json {
        say_json(&Drawn { files })?;
        return Ok(ExitCode::SUCCESS);
    }
    for file in &files {
        say(&file.display().to_string())?;
    }
    Ok(ExitCode::SUCCESS)
}
