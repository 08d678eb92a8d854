//! What findings, cues and the worksheet say in English, in German.
//!
//! They make their sentences themselves, so each is known here by its pattern: `{}` stands for
//! anything, which is put in German in its turn. What is not known stays English and is told to be
//! English; nothing is guessed.

mod agreement;
mod common;
mod figures;
mod hearing;
mod program;
mod series;
mod sight;
mod sources;
mod worksheet;

/// An English pattern and its German, in which `{0}` is what stood at the first place.
type Phrase = (&'static str, &'static str);

/// All phrases. Of a file's, the longer ones stand before those that they contain.
fn phrases() -> impl Iterator<Item = &'static Phrase> {
    let all = [
        common::PHRASES,
        figures::PHRASES,
        hearing::PHRASES,
        sight::PHRASES,
        agreement::PHRASES,
        series::PHRASES,
        worksheet::PHRASES,
        sources::PHRASES,
        program::PHRASES,
    ];
    all.into_iter().flatten()
}

/// The German for a text; none if any part of it is not known.
pub(super) fn german(english: &str) -> Option<String> {
    let text = english.trim();
    if text.is_empty() {
        return Some(String::new());
    }
    for (pattern, german) in phrases() {
        if let Some(parts) = fits(pattern, text) {
            let parts: Option<Vec<String>> = parts.iter().map(|part| self::german(part)).collect();
            if let Some(parts) = parts {
                let filled = parts.iter().enumerate();
                return Some(filled.fold((*german).to_owned(), |text, (place, part)| {
                    text.replace(&format!("{{{place}}}"), part)
                }));
            }
        }
    }
    if is_figures(text) {
        return Some(with_commas(text));
    }
    // What a person said stays as it was said.
    if text.len() > 1 && text.starts_with('\'') && text.ends_with('\'') {
        return Some(text.to_owned());
    }
    for between in ["; ", ", "] {
        if text.contains(between) {
            let parts: Option<Vec<String>> = text.split(between).map(self::german).collect();
            if let Some(parts) = parts {
                return Some(parts.join(between));
            }
        }
    }
    None
}

/// What stands at the `{}` of a pattern, if the text fits it.
fn fits<'a>(pattern: &str, text: &'a str) -> Option<Vec<&'a str>> {
    let mut pieces = pattern.split("{}");
    let mut rest = text.strip_prefix(pieces.next()?)?;
    let pieces: Vec<&str> = pieces.collect();
    let Some((last, between)) = pieces.split_last() else {
        return rest.is_empty().then(Vec::new);
    };
    let mut parts = Vec::new();
    for piece in between {
        let (before, after) = rest.split_once(piece)?;
        parts.push(before);
        rest = after;
    }
    parts.push(rest.strip_suffix(last)?);
    Some(parts)
}

/// Whether a text is figures, signs, units and numbers of nerves only.
fn is_figures(text: &str) -> bool {
    const UNITS: [&str; 12] = [
        "dB", "HL", "Hz", "kHz", "logMAR", "m", "cm", "s", "%", "SD", "FS", "x",
    ];
    text.split([' ', '/', ',', ';']).all(|word| {
        UNITS.contains(&word)
            || word.chars().all(|sign| "IVX".contains(sign))
            || word
                .chars()
                .all(|sign| sign.is_ascii_digit() || ".-+\u{2212}\u{b1}:()%\u{2013}".contains(sign))
    })
}

/// Decimal points between digits as commas.
pub(super) fn with_commas(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let digit = |at: Option<usize>| {
        at.and_then(|at| letters.get(at))
            .is_some_and(char::is_ascii_digit)
    };
    let each = letters.iter().enumerate().map(|(at, letter)| {
        if *letter == '.' && digit(at.checked_sub(1)) && digit(Some(at + 1)) {
            ','
        } else {
            *letter
        }
    });
    each.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bedside::{self, cautions};
    use crate::finding::cue_of;
    use crate::journal::{EyeHistory, Told, ToldAnswer};
    use crate::quantity::Eye;
    use crate::stimulus::SeriesKind;

    #[test]
    fn patterns_fit_whole_texts_and_carry_their_parts() {
        assert_eq!(
            german("left ear: a notch at 4000 Hz").as_deref(),
            Some("links: eine Senke bei 4000 Hz")
        );
        assert_eq!(
            german("right eye 0.12 ± 0.05 logMAR; left eye fingers counted").as_deref(),
            Some("rechtes Auge 0,12 ± 0,05 logMAR; linkes Auge Finger gezählt")
        );
        assert_eq!(
            german("right 1000 Hz, left 2000 Hz").as_deref(),
            Some("rechts 1000 Hz, links 2000 Hz")
        );
        assert_eq!(
            german(
                "40 dB HL, 30 dB poorer than 1000 Hz and 25 dB poorer than 8000 Hz; leans on neighbouring frequencies at \
                 right 4000 Hz: measure there again"
            )
            .as_deref(),
            Some(
                "40 dB HL, 30 dB schlechter als 1000 Hz und 25 dB schlechter als 8000 Hz; stützt sich bei rechts 4000 Hz auf \
                 Nachbarfrequenzen: dort noch einmal messen"
            )
        );
        assert_eq!(german("something that nobody knows"), None);
        assert_eq!(german("1.5 s").as_deref(), Some("1,5 s"));
    }

    #[test]
    fn whatever_a_person_tells_of_their_eyes_has_a_german_cue() {
        for about in EyeHistory::ALL {
            for eye in [None, Some(Eye::Left), Some(Eye::Both)] {
                for words in [
                    None,
                    Some("seit gestern: links; \u{201a}grau\u{2018}".to_owned()),
                ] {
                    for age_years in [None, Some(30.0), Some(70.0)] {
                        let answer = ToldAnswer::Yes;
                        let told = Told {
                            about,
                            answer,
                            eye,
                            words: words.clone(),
                        };
                        let cue = cue_of(&told, age_years);
                        assert!(german(&cue.what).is_some(), "{}", cue.what);
                        assert!(german(&cue.source).is_some(), "{}", cue.source);
                        let why = german(&cue.why).expect(&cue.why);
                        assert!(
                            words
                                .as_ref()
                                .is_none_or(|words| why.contains(words.as_str()))
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn every_pattern_has_the_places_that_its_german_uses() {
        for (english, german) in phrases() {
            let places = english.matches("{}").count();
            for place in 0..places {
                assert!(german.contains(&format!("{{{place}}}")), "{english}");
            }
            assert!(!german.contains(&format!("{{{places}}}")), "{english}");
        }
    }
    /// One that stands there twice would be put in German by the first, whatever the second says.
    #[test]
    fn no_phrase_stands_there_twice() {
        let mut all: Vec<&str> = phrases().map(|(english, _)| *english).collect();
        all.sort_unstable();
        let twice = all.windows(2).filter(|pair| pair[0] == pair[1]);
        assert_eq!(twice.collect::<Vec<_>>(), Vec::<&[&str]>::new());
    }

    /// Whatever may stand in the worksheet that comes with the program, and what must not be concluded of
    /// any series, with its source.
    #[test]
    fn worksheet_and_cautions_are_german() {
        let sheet = bedside::standard().unwrap();
        let mut all: Vec<String> = Vec::new();
        for item in &sheet.item {
            all.extend([item.nerve.clone(), item.words.clone()]);
            all.extend(item.grades.iter().cloned());
            let flag = item.refer_now.iter();
            all.extend(flag.flat_map(|flag| {
                ["", ", right", ", left"].map(|side| {
                    format!("{}{side}: abnormal. Refer now if it is {flag}", item.words)
                })
            }));
        }
        for kind in SeriesKind::ALL {
            all.push(kind.to_string());
            all.extend(kind.organ().map(|organ| format!("{kind}, by {organ}")));
            all.extend(kind.targets().iter().map(|reply| reply.words()));
        }
        let cautions = cautions::not_concluded(&SeriesKind::ALL);
        all.extend(cautions.into_iter().flat_map(|one| [one.what, one.source]));
        all.extend(cautions::REFER_NOW.map(str::to_owned));
        assert!(all.len() > 150, "{}", all.len());
        let unknown = all.iter().filter(|text| german(text).is_none());
        assert_eq!(unknown.collect::<Vec<_>>(), Vec::<&String>::new());
    }
}
