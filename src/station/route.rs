//! What the system tells of the way from the program to the earphone, and what of it changes a
//! level without a word: the system's volume, an equaliser, spatial sound, noise cancelling, a mix
//! to mono, a wireless link. What the system does not tell, a person has to look after.
//!
//! Names and properties come from the sound library and, where a sound server of the usual kind
//! runs, from its own program `pactl` (JSON).

mod watch;

pub use watch::RouteWatch;

use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::process::{Command, Stdio};

/// What may change a level.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Matter {
    /// The system's volume, or that it is muted.
    Volume,
    /// An equaliser or another filter.
    Equaliser,
    /// Sound that is spread in space.
    Spatial,
    /// Noise cancelling in the earphone, echo cancelling in the system.
    NoiseCancelling,
    /// Both ears get the same.
    MonoMix,
    /// A link without a wire.
    Wireless,
}

impl Matter {
    /// All of them.
    pub const ALL: [Matter; 6] = [
        Matter::Volume,
        Matter::Equaliser,
        Matter::Spatial,
        Matter::NoiseCancelling,
        Matter::MonoMix,
        Matter::Wireless,
    ];

    /// What a person has to look after where the system tells nothing.
    #[must_use]
    pub fn reminder(self) -> &'static str {
        match self {
            Matter::Volume => "The system's volume stands where it stood for the profile.",
            Matter::Equaliser => "No equaliser, bass boost or loudness is on, anywhere.",
            Matter::Spatial => "Spatial and surround sound are off.",
            Matter::NoiseCancelling => "Noise cancelling is off, in the earphone too.",
            Matter::MonoMix => "The system's mix to mono is off.",
            Matter::Wireless => "The earphone hangs on a wire.",
        }
    }
}

/// How much it weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Weight {
    /// The system tells nothing against it.
    Clear,
    /// The system tells nothing: a person looks after it.
    Remind,
    /// Levels may be wrong.
    Warn,
    /// No level is what it says.
    Refuse,
}

/// What is to be said about one matter.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Word {
    /// What it is about.
    pub matter: Matter,
    /// How much it weighs.
    pub weight: Weight,
    /// One sentence.
    pub text: String,
}

/// What the system tells of an output.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Route {
    /// Names and properties, as the system words them.
    pub told: Vec<String>,
    /// The channels of what is played to, where they are known.
    pub channels: Option<u32>,
    /// The volume of (left, right), percent.
    pub volume_percent: Option<[u32; 2]>,
    /// Whether it is muted.
    pub muted: bool,
    /// Whether a sound server told of it; without one only names are known.
    pub by_server: bool,
}

/// Words by which the system betrays what is in the way. In names only whole words count, so
/// that 'monitor' is not 'mono'.
const WIRELESS: [&str; 6] = ["bluetooth", "bluez", "bluez5", "a2dp", "wireless", "dect"];
const HANDS_FREE: [&str; 5] = ["hsp", "hfp", "handsfree", "hands", "sco"];
const EQUALISER: [&str; 6] = ["equalizer", "equaliser", "eq", "ladspa", "lv2", "effects"];
const SPATIAL: [&str; 6] = [
    "surround",
    "spatial",
    "virtualizer",
    "binaural",
    "hrtf",
    "upmix",
];
const CANCELLING: [&str; 5] = ["cancel", "cancelling", "canceling", "denoise", "rnnoise"];
const MONO: [&str; 1] = ["mono"];

impl Route {
    /// What is known from an output's own names alone.
    #[must_use]
    pub fn of_names(names: &[&str]) -> Route {
        Route {
            told: names.iter().map(|name| (*name).to_owned()).collect(),
            ..Route::default()
        }
    }

    /// Adds what a sound server tells of its outputs (`pactl --format=json list sinks`); the one
    /// called `sink`. Whether it was among them.
    pub fn add_server(&mut self, list: &str, sink: &str) -> bool {
        let Ok(Value::Array(all)) = serde_json::from_str::<Value>(list) else {
            return false;
        };
        let Some(found) = all.iter().find(|one| one["name"] == sink) else {
            return false;
        };
        self.by_server = true;
        self.muted = found["mute"] == true;
        let text = |value: &Value| value.as_str().map(str::to_owned);
        self.told.extend(text(&found["name"]));
        self.told.extend(text(&found["description"]));
        self.told.extend(text(&found["driver"]));
        if let Some(properties) = found["properties"].as_object() {
            // Only what says by what and over what is played: other properties name programs.
            const TELLING: [&str; 9] = [
                "device.api",
                "device.bus",
                "device.class",
                "device.description",
                "device.form_factor",
                "bluetooth.protocol",
                "api.bluez5.profile",
                "media.class",
                "node.name",
            ];
            for key in TELLING {
                self.told.extend(properties.get(key).and_then(text));
            }
        }
        let specification = found["sample_specification"].as_str().unwrap_or("");
        self.channels = specification
            .split_whitespace()
            .find_map(|part| part.strip_suffix("ch")?.parse().ok());
        let percent = |channel: &str| -> Option<u32> {
            let told = found["volume"][channel]["value_percent"].as_str()?;
            told.trim().trim_end_matches('%').parse().ok()
        };
        let sides = [percent("front-left"), percent("front-right")];
        self.volume_percent = match sides {
            [Some(left), Some(right)] => Some([left, right]),
            _ => percent("mono").map(|both| [both, both]),
        };
        true
    }

    /// How the way is another now than it was, in words that go after 'now'; none if it is the same, or
    /// if nobody tells: that a sound server is gone is told by the output itself.
    #[must_use]
    pub fn changed_since(&self, before: &Route) -> Option<String> {
        if !self.by_server || !before.by_server {
            return None;
        }
        if self.muted != before.muted {
            return Some(
                if self.muted {
                    "the output is muted"
                } else {
                    "the output is no longer muted"
                }
                .into(),
            );
        }
        if self.told != before.told || self.channels != before.channels {
            let to = self.told.get(2).map_or("another output", String::as_str);
            return Some(format!("the sound is led to '{to}'"));
        }
        let (now, then) = (self.volume_percent, before.volume_percent);
        let percent = |volume: [u32; 2]| match volume {
            [left, right] if left == right => format!("{left} %"),
            [left, right] => format!("{left} % left and {right} % right"),
        };
        match (now, then) {
            (Some(now), Some(then)) if now != then => Some(format!(
                "the system's volume is {}, it was {}",
                percent(now),
                percent(then)
            )),
            _ => None,
        }
    }

    /// What is to be said of each matter, in the order of [`Matter::ALL`]. `calibrated_at` is the
    /// volume at which the profile was made, if it says so.
    #[must_use]
    pub fn words(&self, calibrated_at: Option<u32>) -> Vec<Word> {
        let volume = self.volume(calibrated_at);
        let rest = Matter::ALL.into_iter().skip(1).map(|matter| {
            let (weight, text) = self.word_of(matter);
            Word {
                matter,
                weight,
                text,
            }
        });
        std::iter::once(volume).chain(rest).collect()
    }

    fn volume(&self, calibrated_at: Option<u32>) -> Word {
        let (weight, text) = match (self.volume_percent, calibrated_at) {
            _ if self.muted => (Weight::Refuse, "The output is muted.".to_owned()),
            (Some([left, right]), _) if left != right => (
                Weight::Refuse,
                format!("The system plays left at {left} % and right at {right} %."),
            ),
            (Some([at, _]), _) if at > 100 => (
                Weight::Refuse,
                format!("The system's volume is {at} %: over 100 % loud tones are cut off."),
            ),
            (Some([at, _]), Some(then)) if at != then => (
                Weight::Refuse,
                format!("The system's volume is {at} %; the profile was made at {then} %."),
            ),
            (Some([at, _]), Some(_)) => (
                Weight::Clear,
                format!("The system's volume is {at} %, as the profile asks."),
            ),
            (Some([at, _]), None) => (
                Weight::Remind,
                format!("The system's volume is {at} %; it stays where it stood for the profile."),
            ),
            (None, _) => (Weight::Remind, Matter::Volume.reminder().to_owned()),
        };
        Word {
            matter: Matter::Volume,
            weight,
            text,
        }
    }

    fn word_of(&self, matter: Matter) -> (Weight, String) {
        let said = |words: &[&str]| {
            let hit = |told: &&String| has_word(told, words);
            self.told.iter().find(hit).map(String::as_str)
        };
        let found = match matter {
            Matter::Volume => None,
            Matter::Equaliser => said(&EQUALISER).map(|by| {
                (
                    Weight::Refuse,
                    format!("An equaliser or filter is in the way ('{by}')."),
                )
            }),
            Matter::Spatial => said(&SPATIAL).map(|by| {
                (
                    Weight::Refuse,
                    format!("Sound is spread in space ('{by}')."),
                )
            }),
            Matter::NoiseCancelling => said(&CANCELLING).map(|by| {
                (
                    Weight::Warn,
                    format!("Noise or echo is being cancelled ('{by}')."),
                )
            }),
            Matter::MonoMix if self.channels == Some(1) => Some((
                Weight::Refuse,
                "The output has one channel: both ears get the same.".to_owned(),
            )),
            Matter::MonoMix => {
                said(&MONO).map(|by| (Weight::Refuse, format!("Both ears get the same ('{by}').")))
            }
            Matter::Wireless => said(&HANDS_FREE)
                .map(|by| {
                    let what = "A hands-free link cuts off high tones and mixes the ears";
                    (Weight::Refuse, format!("{what} ('{by}')."))
                })
                .or_else(|| {
                    said(&WIRELESS).map(|by| {
                        let what = "The link is wireless: it may change soft tones and delays all";
                        (Weight::Warn, format!("{what} ('{by}')."))
                    })
                }),
        };
        found.unwrap_or_else(|| (Weight::Remind, matter.reminder().to_owned()))
    }
}

fn has_word(text: &str, words: &[&str]) -> bool {
    let text = text.to_lowercase();
    let mut parts = text.split(|sign: char| !sign.is_ascii_alphanumeric());
    parts.any(|part| words.contains(&part))
}

/// What the system tells of the output of this id and name, with what the sound library itself
/// says of it. A sound server is asked only where the output leads to one.
#[must_use]
pub fn route_to(id: &str, name: &str) -> Route {
    let mut route = Route::of_names(&[id, name]);
    if leads_to_server(id)
        && let Some(sink) = ask(&["get-default-sink"])
        && let Some(list) = ask(&["--format=json", "list", "sinks"])
    {
        route.add_server(&list, sink.trim());
    }
    route
}

/// Whether an output is a sound server's, which can be asked.
fn leads_to_server(id: &str) -> bool {
    let id = id.to_lowercase();
    ["default", "pulse", "pipewire"]
        .iter()
        .any(|word| id.contains(word))
}

fn ask(arguments: &[&str]) -> Option<String> {
    let told = Command::new("pactl")
        .args(arguments)
        .env("LC_ALL", "C")
        .stdin(Stdio::null())
        .stderr(Stdio::null())
        .output()
        .ok()?;
    told.status
        .success()
        .then(|| String::from_utf8_lossy(&told.stdout).into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn weight(route: &Route, matter: Matter) -> Weight {
        let words = route.words(None);
        assert_eq!(words.len(), Matter::ALL.len());
        words
            .iter()
            .find(|one| one.matter == matter)
            .unwrap()
            .weight
    }

    /// As `pactl --format=json list sinks` (version 16.1) writes a null sink (recorded, and cut).
    const LIST: &str = r#"[{"index":0,"state":"IDLE","name":"ear","description":"Null Output",
        "driver":"module-null-sink.c","sample_specification":"float32le 2ch 48000Hz",
        "channel_map":"front-left,front-right","mute":false,
        "volume":{"front-left":{"value":48496,"value_percent":"74%","db":"-7.85 dB"},
        "front-right":{"value":48496,"value_percent":"74%","db":"-7.85 dB"}},
        "properties":{"device.description":"Null Output","device.class":"abstract"}}]"#;

    #[test]
    fn what_is_not_told_is_left_to_a_person() {
        let route = Route::of_names(&["alsa:hw:0,0", "Monitor of the front desk"]);
        for word in route.words(None) {
            assert_eq!(word.weight, Weight::Remind, "{word:?}");
            assert_eq!(word.text, word.matter.reminder());
        }
    }

    #[test]
    fn names_betray_what_is_in_the_way() {
        for (name, matter, expected) in [
            ("bluez_output.00_11.a2dp", Matter::Wireless, Weight::Warn),
            ("Headset (hands-free)", Matter::Wireless, Weight::Refuse),
            ("FFT based equalizer", Matter::Equaliser, Weight::Refuse),
            (
                "module-virtual-surround-sink",
                Matter::Spatial,
                Weight::Refuse,
            ),
            ("module-echo-cancel", Matter::NoiseCancelling, Weight::Warn),
            ("Remapped (mono)", Matter::MonoMix, Weight::Refuse),
        ] {
            let route = Route::of_names(&["alsa:default", name]);
            assert_eq!(weight(&route, matter), expected, "{name}");
            for other in Matter::ALL.into_iter().filter(|other| *other != matter) {
                assert_eq!(weight(&route, other), Weight::Remind, "{name} {other:?}");
            }
        }
    }

    #[test]
    fn a_sound_server_tells_volume_and_channels() {
        let mut route = Route::of_names(&["alsa:default", "default"]);
        assert!(!route.add_server(LIST, "another") && !route.by_server);
        assert!(!route.add_server("no json", "ear"));
        assert!(route.add_server(LIST, "ear"));
        assert_eq!(
            (route.volume_percent, route.channels),
            (Some([74, 74]), Some(2))
        );
        let at = |then| route.words(then)[0].weight;
        assert_eq!(
            [at(None), at(Some(74)), at(Some(70))],
            [Weight::Remind, Weight::Clear, Weight::Refuse]
        );
        let told = |list: &str, matter| {
            let mut route = Route::default();
            assert!(route.add_server(list, "ear"));
            weight(&route, matter)
        };
        let uneven = LIST.replacen("\"74%\"", "\"70%\"", 1);
        assert_eq!(told(&uneven, Matter::Volume), Weight::Refuse);
        assert_eq!(
            told(&LIST.replace("74%", "120%"), Matter::Volume),
            Weight::Refuse
        );
        let muted = LIST.replace("\"mute\":false", "\"mute\":true");
        assert_eq!(told(&muted, Matter::Volume), Weight::Refuse);
        assert_eq!(
            told(&LIST.replace("2ch", "1ch"), Matter::MonoMix),
            Weight::Refuse
        );
        let before = {
            let mut before = Route::of_names(&["alsa:default", "default"]);
            before.add_server(LIST, "ear");
            before
        };
        let changed = |list: &str, sink: &str| {
            let mut now = Route::of_names(&["alsa:default", "default"]);
            now.add_server(list, sink);
            now.changed_since(&before)
        };
        assert_eq!(changed(LIST, "ear"), None);
        assert_eq!(
            changed(LIST, "gone"),
            None,
            "the output tells of that itself"
        );
        let said = |list: &str, sink| changed(list, sink).unwrap();
        let turned = said(&LIST.replace("74%", "60%"), "ear");
        assert_eq!(turned, "the system's volume is 60 %, it was 74 %");
        let to_the_left = said(&uneven, "ear");
        assert!(
            to_the_left.contains("70 % left and 74 % right"),
            "{to_the_left}"
        );
        assert!(said(&muted, "ear").contains("muted"));
        let elsewhere = LIST.replace("\"name\":\"ear\"", "\"name\":\"loudspeaker\"");
        assert!(said(&elsewhere, "loudspeaker").contains("'loudspeaker'"));
        let blue = LIST.replace(
            "\"device.class\":\"abstract\"",
            "\"device.bus\":\"bluetooth\"",
        );
        assert_eq!(told(&blue, Matter::Wireless), Weight::Warn);
    }
}
