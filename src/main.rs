//! The rackshade command: see the library for everything.

fn main() -> std::process::ExitCode {
    rackshade::cli::main()
}
