//! The folder that was saved into last, over the end of the program: one line in a file of the
//! user's settings. It holds no name but the folder's.

use std::path::PathBuf;

/// Where it is kept: the system's place for settings; none where the system tells none.
fn file() -> Option<PathBuf> {
    let told = |name| std::env::var_os(name).filter(|value| !value.is_empty());
    let settings = told("XDG_CONFIG_HOME")
        .or_else(|| told("APPDATA"))
        .map(PathBuf::from)
        .or_else(|| Some(PathBuf::from(told("HOME")?).join(".config")))?;
    Some(settings.join("veridical").join("last-folder"))
}

/// The folder, if it is still there.
pub(super) fn folder() -> Option<String> {
    let text = std::fs::read_to_string(file()?).ok()?;
    let folder = text.trim();
    PathBuf::from(folder).is_dir().then(|| folder.to_owned())
}

/// Keeps it. That this fails is no reason to fail what was saved.
pub(super) fn keep(folder: &str) {
    let Some(file) = file() else { return };
    if let Some(settings) = file.parent() {
        let _ = std::fs::create_dir_all(settings);
        let _ = std::fs::write(&file, format!("{folder}\n"));
    }
}
