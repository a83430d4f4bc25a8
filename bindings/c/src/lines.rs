//! JSON Lines in, JSON Lines out, as `salver check --json` does it.

use salver::{Checker, wire};

/// An answer for every line that is not blank, in order.
#[expect(clippy::expect_used, reason = "four plain fields; were it otherwise, the guard in `deliver` catches it")]
pub(crate) fn check(checker: &Checker, lines: &[u8]) -> String {
    let mut answers = String::new();
    for (number, line) in (1..).zip(lines.split(|byte| *byte == b'\n')) {
        if line.iter().all(u8::is_ascii_whitespace) {
            continue;
        }
        match wire::record(line).and_then(|json| wire::check(checker, json)) {
            Ok(answer) => answers.push_str(&answer),
            Err(error) => {
                let place = wire::ErrorPlace { file: None, line: number, error: &error };
                let answer = serde_json::to_string(&wire::ErrorAnswer { error: place });
                answers.push_str(&answer.expect("serialises"));
            }
        }
        answers.push('\n');
    }
    answers
}
