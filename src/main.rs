//! The program; everything it does is in the library.

use std::process::ExitCode;

/// In a debug build an allocation in the audio callback ends the program.
#[cfg(all(debug_assertions, feature = "sound"))]
#[global_allocator]
static ALLOCATOR: assert_no_alloc::AllocDisabler = assert_no_alloc::AllocDisabler;

fn main() -> ExitCode {
    veridical::verbs::main()
}
