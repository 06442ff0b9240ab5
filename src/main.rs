//! The program: see the library for everything.

fn main() -> std::process::ExitCode {
    rackshade::cli::main()
}
