//! The program: without a subcommand it opens the window, with one it works in the terminal.

use std::process::ExitCode;

fn main() -> ExitCode {
    tautleaf_cli::main_with(std::env::args_os(), tautleaf_app::run)
}
