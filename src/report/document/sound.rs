//! What a visit knows of its sound beside the presentations: the output, who listened first, and what
//! was played.

use super::Said;
use super::conditions::{item, named, short_digest};
use crate::journal::{Body, Listened, OutputOpened, Played, PlayedWhat};
use crate::report::figure::audiogram::{ear_name, unit};
use crate::report::page::Text;
use crate::report::words::Key;

/// In the order of the journal; the same is told once.
pub(super) fn items(said: &Said) -> Vec<Text> {
    let mut all: Vec<Text> = Vec::new();
    for event in said.filed.events {
        let told = match &event.body {
            Body::OutputOpened(opened) => output(said, opened),
            Body::Listened(listened) => heard_first(said, listened),
            Body::Played(played) => match played.what {
                PlayedWhat::Instructions | PlayedWhat::Words => recording(said, played),
                PlayedWhat::WhichEar => item(said.w(Key::WhichEarPlayed)),
            },
            _ => continue,
        };
        if !all.contains(&told) {
            all.push(told);
        }
    }
    all
}

fn output(said: &Said, opened: &OutputOpened) -> Text {
    let depth = match opened.bits {
        Some(bits) => said.f(Key::BitsWithDither, &[&bits.to_string()]),
        None => opened.format.clone(),
    };
    let parts = [
        opened.device.clone(),
        opened.rate_hz.to_string(),
        depth,
        said.n(opened.timing.u_response_ms, 0),
    ];
    let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
    named(said, Key::SoundOutput, said.f(Key::SoundOutputLine, &parts))
}

fn heard_first(said: &Said, listened: &Listened) -> Text {
    let rises = listened.rises.iter().map(|rise| {
        format!(
            "{} {} {}",
            ear_name(rise.ear, said.lang),
            said.n(rise.level.db(), 0),
            unit(rise.level.scale(), said.lang)
        )
    });
    let rises = rises.collect::<Vec<_>>().join(", ");
    item(said.f(Key::ListenedFirst, &[&rises]))
}

fn recording(said: &Said, played: &Played) -> Text {
    let name = match played.what {
        PlayedWhat::Instructions => Key::Instructions,
        PlayedWhat::Words | PlayedWhat::WhichEar => Key::WordsPlayed,
    };
    let whole = said.w(if played.whole {
        Key::PlayedWhole
    } else {
        Key::PlayedNotWhole
    });
    let digest = played.digest.as_ref();
    let digest = digest.map_or(String::new(), |digest| {
        format!(" (SHA-256 {})", short_digest(digest))
    });
    let words = said.f(Key::RecordingLine, &[&played.title, &digest, whole]);
    named(said, name, words)
}
