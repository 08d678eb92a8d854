//! A series on paper: the sealed sheet, and the letters by which its answers are entered.

use super::cautions::{BEFORE, how};
use crate::journal::Series;
use crate::quantity::Side;
use crate::stimulus::{Prompted, Reply, SeriesKind, Strength};
use std::fmt::Write;

/// The letter of a prompt that was not done as shown.
pub const VOID_LETTER: char = 'v';

/// The letter of an answer on paper and on the command line.
#[must_use]
pub fn letter(reply: Reply) -> char {
    match reply {
        Reply::Yes => 'y',
        Reply::Nothing => 'n',
        Reply::Right => 'r',
        Reply::Left => 'l',
        Reply::Both => 'b',
        Reply::UpperRight => 'e',
        Reply::LowerRight => 'f',
        Reply::UpperLeft => 'c',
        Reply::One => '1',
        Reply::Two => '2',
        Reply::Five => '5',
        Reply::Same => 's',
        // No kind has both.
        Reply::LowerLeft | Reply::Different => 'd',
        Reply::Parts(amount) | Reply::TensCm(amount) => {
            char::from_digit(u32::from(amount), 10).unwrap_or('?')
        }
    }
}

/// The answer of a letter in a series of this kind.
#[must_use]
pub fn reply_of(kind: SeriesKind, sign: char) -> Option<Reply> {
    let sign = sign.to_ascii_lowercase();
    kind.replies()
        .into_iter()
        .find(|reply| letter(*reply) == sign)
}

/// All letters of a kind, in words.
#[must_use]
pub fn key_of(kind: SeriesKind) -> String {
    let one = |reply: Reply| format!("{} {}", letter(reply), reply.words());
    let mut all: Vec<String> = kind.replies().into_iter().map(one).collect();
    all.push(format!("{VOID_LETTER} void, not done as shown"));
    all.push("- not done".into());
    all.join(" · ")
}

/// What the hands do, as the examiner reads it: in large, and beside it.
#[must_use]
pub fn key_words(prompted: &Prompted<'_>) -> (String, String) {
    let prompt = prompted.prompt;
    let at = prompt.at.map_or("", crate::stimulus::Place::words);
    let side = prompted.side.map_or("", |side| match side {
        Side::Right => "right",
        Side::Left => "left",
    });
    let organ = prompted.kind.organ().unwrap_or("");
    let of = format!("{side} {organ}");
    let nothing = prompt.target == Reply::Nothing;
    let target = prompt.target.words();
    match prompted.kind {
        SeriesKind::Smell if nothing => ("blank".into(), of),
        SeriesKind::Smell => (prompted.scent.unwrap_or("scent").to_owned(), of),
        SeriesKind::FieldSides if nothing => ("hold still".into(), of),
        SeriesKind::FieldSides | SeriesKind::FieldQuadrants if !nothing => (target, of),
        SeriesKind::FieldRed if !nothing => (format!("red {target}"), of),
        SeriesKind::FieldSides | SeriesKind::FieldQuadrants | SeriesKind::FieldRed => {
            ("none".into(), of)
        }
        SeriesKind::FieldFingers => (format!("{target} {at}"), of),
        SeriesKind::FieldExtent => {
            let metres = prompt.distance_m.unwrap_or(1);
            (format!("{metres} m {at}"), of)
        }
        SeriesKind::Touch if nothing => (format!("sham {at}"), String::new()),
        SeriesKind::Touch => (at.into(), String::new()),
        SeriesKind::TouchCompare => {
            let right = prompt
                .right_with
                .map_or("", crate::stimulus::Material::word);
            let left = match (prompt.target, prompt.right_with) {
                (Reply::Same, _) | (_, None) => right,
                (_, Some(right)) => right.other().word(),
            };
            (format!("{at}: {right} | {left}"), "right | left".into())
        }
        SeriesKind::Rub if nothing => ("still".into(), String::new()),
        SeriesKind::Rub => {
            let strength = match prompt.strength {
                Some(Strength::Strong) => "strong",
                _ => "faint",
            };
            (format!("{target} {strength}"), String::new())
        }
        SeriesKind::Whisper => {
            let says = prompt.says.map_or(String::new(), |triple| {
                triple.0.map(|sign| sign.to_string()).join(" ")
            });
            (says, of)
        }
        SeriesKind::Fork if nothing => ("not struck".into(), of),
        SeriesKind::Fork => ("struck".into(), of),
    }
}

/// Prompts on one page of paper.
const ON_A_PAGE: usize = 40;

/// The sheet of a series: A4, to be printed from any program that shows SVG. It carries the seal
/// that stands in the journal since before the first prompt.
#[must_use]
pub fn sheet(series: &Series) -> String {
    let drawn = &series.drawn;
    let mut page = Page::new();
    let mut line = |x: f64, y: f64, size: f64, text: &str| page.line(x, y, size, text);
    let side = match (drawn.side, drawn.what.organ()) {
        (Some(side), Some(organ)) => format!(", {side} {organ}"),
        _ => String::new(),
    };
    line(
        15.0,
        17.0,
        7.0,
        &format!("Series {}: {}{side}", drawn.series, drawn.what),
    );
    line(15.0, 23.0, 3.2, &format!("Seal {}", drawn.seal));
    line(
        15.0,
        28.0,
        3.2,
        "Drawn and sealed in the journal before the first prompt. Keep this sheet out of the person's sight.",
    );
    let mut y = 33.0;
    for text in wrapped(how(drawn.what), 105)
        .iter()
        .chain(&wrapped(&BEFORE[1..].join(" "), 105))
    {
        line(15.0, y, 3.2, text);
        y += 4.2;
    }
    let key = format!("Write one letter a prompt: {}", key_of(drawn.what));
    for text in wrapped(&key, 105) {
        line(15.0, y + 1.0, 3.2, &text);
        y += 4.2;
    }
    y += 4.0;
    let rows = drawn.prompts.len().min(ON_A_PAGE).div_ceil(2);
    let height = ((287.0 - y) / rows as f64).min(18.0);
    for place in 0..drawn.prompts.len() {
        let Some(prompted) = drawn.prompted(place) else {
            continue;
        };
        let (words, beside) = key_words(&prompted);
        let x = if place < rows { 15.0 } else { 110.0 };
        let at = y + height * (1 + place % rows) as f64 - 4.0;
        let gap = format!("wait {:.0} s, {beside}", prompted.prompt.gap_s);
        line(x, at, 3.4, &(place + 1).to_string());
        line(x + 8.0, at, 6.4, &words);
        line(x + 8.0, at + 3.4, 2.6, gap.trim_end_matches(", "));
        line(x + 72.0, at, 6.4, "____");
    }
    page.end()
}

/// A page to print: A4, SVG, places in mm.
pub struct Page(String);

impl Page {
    /// A white page.
    #[must_use]
    #[expect(
        clippy::new_without_default,
        reason = "nobody asks for a page by default"
    )]
    pub fn new() -> Page {
        Page(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"210mm\" height=\"297mm\" \
             viewBox=\"0 0 210 297\" font-family=\"sans-serif\">\n\
             <rect width=\"210\" height=\"297\" fill=\"white\"/>\n"
                .into(),
        )
    }

    /// Puts a line of text on its baseline.
    pub fn line(&mut self, x_mm: f64, y_mm: f64, size_mm: f64, text: &str) {
        let text = escaped(text);
        let _ = writeln!(
            self.0,
            "<text x=\"{x_mm:.1}\" y=\"{y_mm:.1}\" font-size=\"{size_mm:.1}\">{text}</text>"
        );
    }

    /// The page, whole.
    #[must_use]
    pub fn end(self) -> String {
        self.0 + "</svg>\n"
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

/// Breaks a text into lines of fewer than `width` bytes, where it has blanks.
#[must_use]
pub fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let last = lines.len() - 1;
        if lines[last].len() + word.len() >= width {
            lines.push(word.to_owned());
        } else {
            if !lines[last].is_empty() {
                lines[last].push(' ');
            }
            lines[last].push_str(word);
        }
    }
    lines
}
