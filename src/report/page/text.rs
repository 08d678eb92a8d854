//! Text in several faces, broken into lines.

use super::super::figure::shape::{Across, Down, Face, Ink, Label, Shape, at};
use super::super::print::letters::{ABOVE_BASE, width, writable};
use super::super::print::{Leaf, Tree};
use super::super::words::Lang;
use super::{Align, LEADING, Layout};

/// Words in one face.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Run {
    pub text: String,
    pub face: Face,
    pub ink: Ink,
    /// So many times as large as the text around it.
    pub times: f32,
    /// The language, where it may be another than the report's.
    pub lang: Option<Lang>,
}

/// A text.
pub(crate) type Text = Vec<Run>;

/// Words in the usual face.
pub(crate) fn run(text: impl AsRef<str>) -> Run {
    Run {
        text: writable(text.as_ref()),
        face: Face::Plain,
        ink: Ink::Text,
        times: 1.0,
        lang: None,
    }
}

impl Run {
    pub(crate) fn strong(self) -> Run {
        Run {
            face: Face::Strong,
            ..self
        }
    }

    pub(crate) fn slanted(self) -> Run {
        Run {
            face: Face::Slanted,
            ..self
        }
    }

    pub(crate) fn soft(self) -> Run {
        self.ink(Ink::Soft)
    }

    pub(crate) fn ink(self, ink: Ink) -> Run {
        Run { ink, ..self }
    }

    pub(crate) fn times(self, times: f32) -> Run {
        Run { times, ..self }
    }

    pub(crate) fn bracketed(self) -> Run {
        Run {
            text: format!("({})", self.text),
            ..self
        }
    }

    pub(crate) fn lang(self, lang: Lang) -> Run {
        Run {
            lang: Some(lang),
            ..self
        }
    }
}

/// A piece of a line.
struct Piece {
    run: Run,
    x: f32,
    wide: f32,
}

/// A line: its pieces and how wide it is.
pub(super) struct Line {
    pieces: Vec<Piece>,
    wide: f32,
    times: f32,
}

impl Line {
    /// How many times as large as the text its largest piece is.
    pub(super) fn times(&self) -> f32 {
        self.times
    }
}

/// Breaks a text into lines of at most `within` points; a word that is longer is broken, too.
pub(super) fn lines(text: &Text, size: f32, within: f32) -> Vec<Line> {
    let mut all: Vec<Line> = vec![Line {
        pieces: Vec::new(),
        wide: 0.0,
        times: 1.0,
    }];
    let mut spaced = false;
    for run in text {
        let own = size * run.times;
        let space = width(" ", run.face, own);
        let ends_open = run.text.ends_with(' ');
        spaced |= run.text.starts_with(' ');
        for (at_word, word) in run.text.split_whitespace().enumerate() {
            let spaced_here = spaced || at_word > 0;
            spaced = false;
            for part in parts(word, run.face, own, within) {
                let wide = width(&part, run.face, own);
                let Some(last) = all.last_mut() else {
                    return all;
                };
                let gap = if spaced_here && !last.pieces.is_empty() {
                    space
                } else {
                    0.0
                };
                let fits = last.pieces.is_empty() || last.wide + gap + wide <= within + 0.01;
                let broken_word = part.len() < word.len() && !last.pieces.is_empty() && gap == 0.0;
                if fits && !broken_word {
                    add(last, run, &part, gap, wide);
                } else {
                    let mut fresh = Line {
                        pieces: Vec::new(),
                        wide: 0.0,
                        times: 1.0,
                    };
                    add(&mut fresh, run, &part, 0.0, wide);
                    all.push(fresh);
                }
            }
        }
        spaced |= ends_open;
    }
    all
}

fn add(line: &mut Line, run: &Run, word: &str, gap: f32, wide: f32) {
    line.times = line.times.max(run.times);
    match line.pieces.last_mut() {
        Some(last) if same(&last.run, run) => {
            if gap > 0.0 {
                last.run.text.push(' ');
            }
            last.run.text.push_str(word);
            last.wide += gap + wide;
        }
        last => {
            // The space before another face belongs to the words before it.
            if let Some(last) = last.filter(|_| gap > 0.0) {
                last.run.text.push(' ');
            }
            let run = Run {
                text: word.to_owned(),
                ..run.clone()
            };
            let x = line.wide + gap;
            line.pieces.push(Piece { run, x, wide });
        }
    }
    line.wide += gap + wide;
}

fn same(a: &Run, b: &Run) -> bool {
    (a.face, a.ink, a.lang) == (b.face, b.ink, b.lang) && (a.times - b.times).abs() < 1e-6
}

/// A word in parts that fit: one, unless it is longer than a line.
fn parts(word: &str, face: Face, size: f32, within: f32) -> Vec<String> {
    if width(word, face, size) <= within {
        return vec![word.to_owned()];
    }
    let mut parts = vec![String::new()];
    for letter in word.chars() {
        if let Some(last) = parts.last_mut() {
            let longer = format!("{last}{letter}");
            if last.is_empty() || width(&longer, face, size) <= within {
                *last = longer;
            } else {
                parts.push(letter.to_string());
            }
        }
    }
    parts
}

impl Layout {
    /// A line as leaves, its top at 0, and their order; its base is that of a line so many `times`
    /// as large as the text.
    pub(super) fn line(
        &mut self,
        line: Line,
        size: f32,
        (left, within, align, times): (f32, f32, Align, f32),
        ends: bool,
    ) -> (Vec<Leaf>, Vec<Tree>) {
        let spare = (within - line.wide).max(0.0);
        let start = left
            + match align {
                Align::Start => 0.0,
                Align::End => spare,
            };
        let base = (ABOVE_BASE + (LEADING - 1.02) / 2.0) * size * times;
        let mut groups: Vec<(Option<Lang>, Vec<Shape>)> = Vec::new();
        let last = line.pieces.len().saturating_sub(1);
        for (place, piece) in line.pieces.into_iter().enumerate() {
            let mut text = piece.run.text;
            // Words apart on two lines are told apart by a space.
            if place == last && !ends {
                text.push(' ');
            }
            let label = Shape::Label(Label {
                at: at(start + piece.x, base),
                across: Across::Start,
                down: Down::Base,
                text,
                size: size * piece.run.times,
                face: piece.run.face,
                ink: piece.run.ink,
                upward: false,
                on: None,
                within: None,
            });
            match groups.last_mut() {
                Some((lang, shapes)) if *lang == piece.run.lang => shapes.push(label),
                _ => groups.push((piece.run.lang, vec![label])),
            }
        }
        groups
            .into_iter()
            .map(|(lang, shapes)| self.leaf(true, lang, shapes))
            .unzip()
    }
}
