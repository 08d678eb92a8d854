//! The verb `card`.

use super::args::{CardArg, CardArgs};
use super::{Done, say, say_json};
use crate::errand;
use crate::quantity::Mm;
use crate::stimulus::{CardRow, OptotypeSet, Symbol};
use serde::Serialize;
use std::process::ExitCode;

#[derive(Serialize)]
struct CardReport {
    seed: u64,
    optotype: OptotypeSet,
    distance_mm: Mm,
    rows: Vec<CardRow>,
}

pub(super) fn card(args: &CardArgs) -> Done {
    let set = match args.kind {
        CardArg::Landolt => OptotypeSet::Landolt8,
        CardArg::TumblingE => OptotypeSet::TumblingE,
        CardArg::Sloan => OptotypeSet::Sloan,
        CardArg::Hotv => OptotypeSet::Hotv,
    };
    let card = errand::near_card(args.seed, set, Mm(args.distance_mm), &args.out)?;
    if args.json {
        say_json(&CardReport {
            seed: card.seed,
            optotype: card.optotype,
            distance_mm: card.distance_mm,
            rows: card.rows,
        })?;
        return Ok(ExitCode::SUCCESS);
    }
    say(&format!(
        "{}: a card for {} mm, seed {}; print it at 100 % and check its 100 mm with a ruler",
        args.out.display(),
        args.distance_mm,
        args.seed
    ))?;
    for row in &card.rows {
        let symbols: Vec<String> = row.symbols.iter().copied().map(written).collect();
        say(&format!(
            "{:5.1} logMAR  {:4.2} M  {}",
            row.log_mar.0,
            row.m_units,
            symbols.join(" ")
        ))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn written(symbol: Symbol) -> String {
    match symbol {
        Symbol::Letter(letter) => letter.char().into(),
        Symbol::Facing(facing) => serde_json::to_value(facing)
            .ok()
            .and_then(|word| word.as_str().map(str::to_owned))
            .unwrap_or_default(),
    }
}
