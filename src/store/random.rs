//! Random numbers of the system, for keys and codes only: nothing that is measured rests on them.

use std::io;

/// So many random bytes.
///
/// # Errors
/// If the system has none to give.
pub(super) fn random<const N: usize>() -> io::Result<[u8; N]> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|error| {
        io::Error::other(format!("the system gives no random numbers: {error}"))
    })?;
    Ok(bytes)
}
