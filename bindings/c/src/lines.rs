//! JSON Lines in, JSON Lines out, as `salver check --json` does it.

use salver::{Checker, InputError, limits, wire};
/// An answer for every line that is not blank, in order.
#[expect(clippy::expect_used, reason = "four plain fields; were it otherwise, the guard in `deliver` catches it")]
pub(crate) fn check(checker: &Checker, lines: &[u8]) -> String {
    let mut answers = String::new();
    for (number, line) in (1..).zip(lines.split(|byte| *byte == b'\n')) {
        if line.iter().all(u8::is_ascii_whitespace) {
            continue;
        }
        match text(line).and_then(|json| wire::check(checker, json)) {
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

fn text(line: &[u8]) -> Result<&str, InputError> {
    if line.len() > limits::CHECK_BYTES {
        let what = format!("a record is over the bound of {} bytes", limits::CHECK_BYTES);
        return Err(invalid(what, "split or shorten the record"));
    }
    std::str::from_utf8(line)
        .map_err(|e| invalid(format!("not UTF-8 from byte {} on", e.valid_up_to()), "write the input in UTF-8"))
}

fn invalid(what: String, remedy: &str) -> InputError {
    InputError { field: "the record".to_owned(), what, remedy: remedy.to_owned() }
}
