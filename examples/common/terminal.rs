//! What all programs that take arguments have in common: usage, refusals, one line of error, exit codes.

use clap::Parser;
use std::io;
use std::process::ExitCode;

/// Why a program stops before its end.
pub(crate) enum Stop {
    /// The usage was asked for.
    Help(String),
    /// The input was refused.
    Refused(String),
    /// The program was called wrongly.
    Usage(String),
}

/// The arguments of a program of this name.
pub(crate) fn arguments<A: Parser>(name: &str) -> Result<A, Stop> {
    A::try_parse().map_err(|error| match error.to_string() {
        text if !error.use_stderr() => Stop::Help(text),
        text => {
            let what: Vec<&str> = text.lines().take_while(|line| !line.is_empty()).map(str::trim).collect();
            let what = what.join(" ");
            Stop::Usage(format!("{} ({name} --help shows the usage)", what.trim_start_matches("error: ")))
        }
    })
}

/// Prints what came of it, a failure as one line on stderr; the status is 0, 1 for input that was
/// refused, 2 for wrong usage.
pub(crate) fn finish(outcome: Result<String, Stop>) -> ExitCode {
    match outcome {
        Ok(text) | Err(Stop::Help(text)) => say(&mut io::stdout(), &text, 0),
        Err(Stop::Refused(message)) => say(&mut io::stderr(), &one_line(&message), 1),
        Err(Stop::Usage(message)) => say(&mut io::stderr(), &one_line(&message), 2),
    }
}

/// A message as one line.
pub(crate) fn one_line(message: &str) -> String {
    message.split(char::is_control).collect::<Vec<_>>().join(" ") + "\n"
}

/// Says something; if nobody listens any more, that is no error.
fn say(to: &mut dyn io::Write, text: &str, code: u8) -> ExitCode {
    match to.write_all(text.as_bytes()).and_then(|()| to.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => ExitCode::FAILURE,
        _ => ExitCode::from(code),
    }
}
