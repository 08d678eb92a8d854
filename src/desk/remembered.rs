//! What outlasts the end of the program, among the user's settings: how the desk is set, and the folder that was saved into
//! last. Nothing of it tells of anybody.

use super::settings::Settings;
use std::path::PathBuf;

const FOLDER: &str = "last-folder";
const DESK: &str = "desk.toml";

/// Where it is kept: the system's place for settings; none where the system tells none.
fn file(name: &str) -> Option<PathBuf> {
    let told = |name| std::env::var_os(name).filter(|value| !value.is_empty());
    let settings = told("XDG_CONFIG_HOME")
        .or_else(|| told("APPDATA"))
        .map(PathBuf::from)
        .or_else(|| Some(PathBuf::from(told("HOME")?).join(".config")))?;
    Some(settings.join("veridical").join(name))
}

fn text(name: &str) -> Option<String> {
    crate::journal::whole_file::settings(&file(name)?).ok()
}

/// Keeps a text. That this fails is no reason to fail what was done.
fn keep(name: &str, text: &str) {
    let Some(file) = file(name) else { return };
    if let Some(settings) = file.parent() {
        let _ = std::fs::create_dir_all(settings);
        let _ = std::fs::write(&file, text);
    }
}

/// The folder, if it is still there.
pub(super) fn folder() -> Option<String> {
    let folder = text(FOLDER)?.trim().to_owned();
    Some(folder).filter(|folder| PathBuf::from(folder).is_dir())
}

pub(super) fn keep_folder(folder: &str) {
    keep(FOLDER, &format!("{folder}\n"));
}

/// How the desk was set; as it came where nothing was kept.
///
/// # Errors
/// One line, if the file is there and cannot be read as settings.
pub(super) fn settings() -> Result<Settings, String> {
    match (text(DESK), file(DESK)) {
        (Some(text), Some(file)) => Settings::from_toml(&text, &file.display().to_string()),
        _ => Ok(Settings::default()),
    }
}

pub(super) fn keep_settings(settings: &Settings) {
    keep(DESK, &settings.to_toml());
}
