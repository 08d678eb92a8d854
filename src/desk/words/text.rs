//! A text in every language, and the language that is spoken now.

use crate::report::words::Lang;
use eframe::egui::WidgetText;
use std::cell::Cell;
use std::fmt::{Display, Formatter};
use std::ops::Deref;

/// A text in every language, in the order of [`Lang::ALL`]: one that is missing does not compile. Where it is drawn it
/// is in the language of its window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Text([&'static str; Lang::ALL.len()]);

thread_local! {
    // Windows are drawn on one thread, one after the other: each says first in which language.
    static SPOKEN: Cell<Lang> = const { Cell::new(Lang::English) };
}

/// The language of the window that is drawn now.
#[must_use]
pub fn spoken() -> Lang {
    SPOKEN.get()
}

/// Draws something in a language.
pub fn speaking<T>(lang: Lang, draw: impl FnOnce() -> T) -> T {
    let before = SPOKEN.replace(lang);
    let drawn = draw();
    SPOKEN.set(before);
    drawn
}

impl Text {
    /// A text, in the order of [`Lang::ALL`].
    #[must_use]
    pub const fn new(texts: [&'static str; Lang::ALL.len()]) -> Text {
        Text(texts)
    }

    /// In a language.
    #[must_use]
    pub fn in_language(self, lang: Lang) -> &'static str {
        self.0[lang as usize]
    }

    /// As the journal and the rooms above say it.
    #[must_use]
    pub const fn english(self) -> &'static str {
        self.0[Lang::English as usize]
    }

    /// In the language that is spoken now.
    #[must_use]
    pub fn here(self) -> &'static str {
        self.in_language(spoken())
    }

    /// With its places, `{0}`, `{1}` and so on, filled.
    #[must_use]
    pub fn fill(self, parts: &[&str]) -> String {
        filled(self.here(), parts)
    }

    /// What stands at the places of its English text, if `english` is that text filled.
    fn places(self, english: &str) -> Option<Vec<&str>> {
        let mut rest = english;
        let mut text = self.english();
        let mut parts = Vec::new();
        for place in 0.. {
            let Some((before, after)) = text.split_once(&format!("{{{place}}}")) else {
                break;
            };
            rest = rest.strip_prefix(before)?;
            let next = after.split_once('{').map_or(after, |(until, _)| until);
            let long = if after.is_empty() {
                rest.len()
            } else if next == after {
                rest.strip_suffix(after)?.len()
            } else {
                rest.find(next)?
            };
            parts.push(&rest[..long]);
            rest = &rest[long..];
            text = after;
        }
        (rest == text).then_some(parts)
    }
}

pub(super) fn filled(text: &str, parts: &[&str]) -> String {
    let mut text = text.to_owned();
    for (place, part) in parts.iter().enumerate() {
        text = text.replace(&format!("{{{place}}}"), part);
    }
    text
}

/// What the rooms above say in English, in the language that is spoken now. What is not known in it stays English:
/// nothing is guessed.
#[must_use]
pub fn said(english: &str) -> String {
    let lang = spoken();
    if lang == Lang::English {
        return english.to_owned();
    }
    for text in super::told() {
        if let Some(parts) = text.places(english) {
            let parts: Vec<String> = parts.into_iter().map(said).collect();
            let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
            return filled(text.in_language(lang), &parts);
        }
    }
    lang.said(english).unwrap_or_else(|| english.to_owned())
}

impl Deref for Text {
    type Target = str;

    fn deref(&self) -> &str {
        self.here()
    }
}

impl Display for Text {
    fn fmt(&self, out: &mut Formatter<'_>) -> std::fmt::Result {
        out.write_str(self.here())
    }
}

impl From<Text> for String {
    fn from(text: Text) -> String {
        text.here().to_owned()
    }
}

impl From<Text> for WidgetText {
    fn from(text: Text) -> WidgetText {
        text.here().into()
    }
}

/// Texts with their names; a language each, in the order of [`Lang::ALL`].
macro_rules! texts {
    ($($name:ident: $($text:literal),+;)*) => {
        $(pub(in crate::desk) const $name: crate::desk::words::Text = crate::desk::words::Text::new([$($text),+]);)*
        /// All of them.
        #[cfg_attr(not(test), allow(dead_code, reason = "of most tables only the tests ask for all"))]
        pub(super) const ALL: &[crate::desk::words::Text] = &[$($name),*];
    };
}
pub(super) use texts;

#[cfg(test)]
mod tests {
    use super::super::all;
    use super::*;

    fn places(text: &str) -> Vec<usize> {
        let place = |place: &usize| text.contains(&format!("{{{place}}}"));
        (0..9).filter(place).collect()
    }

    #[test]
    fn every_text_says_something_and_has_the_same_places_in_every_language() {
        let mut count = 0;
        for text in all() {
            count += 1;
            for lang in Lang::ALL {
                let said = text.in_language(lang);
                assert!(!said.trim().is_empty(), "{text:?}");
                assert_eq!(places(said), places(text.english()), "{text:?}");
            }
        }
        assert!(count > 300, "{count}");
    }

    #[test]
    fn a_window_speaks_its_language_and_leaves_the_other_one_alone() {
        const TEXT: Text = Text::new(["from {0} to {1}.", "von {0} bis {1}."]);
        assert_eq!(TEXT.fill(&["1", "2"]), "from 1 to 2.");
        let german = speaking(Lang::German, || TEXT.fill(&["1", "2"]));
        assert_eq!(german, "von 1 bis 2.");
        assert_eq!(spoken(), Lang::English);
        assert_eq!(TEXT.places("from 1 to 2."), Some(vec!["1", "2"]));
        assert_eq!(TEXT.places("from 1 until 2."), None);
    }
}
