//! What outlasts the end of the program, one line in a file each among the user's settings: the folder that was saved into
//! last, and whether the room is dark. Nothing of it tells of anybody.

use super::style::Theme;
use std::path::PathBuf;

const FOLDER: &str = "last-folder";
const LOOK: &str = "look";
const DARK: &str = "dark room";

/// Where it is kept: the system's place for settings; none where the system tells none.
fn file(name: &str) -> Option<PathBuf> {
    let told = |name| std::env::var_os(name).filter(|value| !value.is_empty());
    let settings = told("XDG_CONFIG_HOME")
        .or_else(|| told("APPDATA"))
        .map(PathBuf::from)
        .or_else(|| Some(PathBuf::from(told("HOME")?).join(".config")))?;
    Some(settings.join("veridical").join(name))
}

fn line(name: &str) -> Option<String> {
    let text = std::fs::read_to_string(file(name)?).ok()?;
    Some(text.trim().to_owned())
}

/// Keeps a line. That this fails is no reason to fail what was done.
fn keep(name: &str, line: &str) {
    let Some(file) = file(name) else { return };
    if let Some(settings) = file.parent() {
        let _ = std::fs::create_dir_all(settings);
        let _ = std::fs::write(&file, format!("{line}\n"));
    }
}

/// The folder, if it is still there.
pub(super) fn folder() -> Option<String> {
    line(FOLDER).filter(|folder| PathBuf::from(folder).is_dir())
}

pub(super) fn keep_folder(folder: &str) {
    keep(FOLDER, folder);
}

/// The colours.
pub(super) fn theme() -> Theme {
    match line(LOOK).as_deref() {
        Some(DARK) => Theme::DARK_ROOM,
        _ => Theme::PAPER,
    }
}

pub(super) fn keep_theme(theme: &Theme) {
    keep(LOOK, if theme.dark { DARK } else { "daylight" });
}
