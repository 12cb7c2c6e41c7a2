//! The command-line program: it only calls the library.

fn main() -> std::process::ExitCode {
    steadyfall::cli::main()
}
