//! The command as a user runs it: the design's cases byte for byte as the library answers, bad lines in their place, exit codes.

#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use salver::{Checker, limits, wire};
use serde_json::{Value, json};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn salver(arguments: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_salver"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    let mut stdin = child.stdin.take().expect("piped");
    let input = input.to_vec();
    let writer = std::thread::spawn(move || {
        // The command may stop reading first; what it answers is what the test looks at.
        let _ = stdin.write_all(&input);
    });
    let output = child.wait_with_output().expect("the command ends");
    writer.join().expect("no panic");
    output
}

fn lines(output: &Output) -> Vec<Value> {
    let text = String::from_utf8(output.stdout.clone()).expect("UTF-8");
    text.lines().map(|line| serde_json::from_str(line).expect("one JSON object a line")).collect()
}

fn cases() -> Vec<Value> {
    let mut files: Vec<_> =
        fs::read_dir(root().join("tests/cases")).expect("there").map(|e| e.expect("readable").path()).collect();
    files.sort();
    let mut all = Vec::new();
    for path in files {
        let file: Value = serde_json::from_str(&fs::read_to_string(path).expect("readable")).expect("JSON");
        for case in file["cases"].as_array().expect("cases") {
            all.push(json!({"id": case["name"], "order": case["order"], "tray": case["tray"]}));
        }
    }
    all
}

#[test]
fn every_case_answers_as_the_library_does() {
    let checker = Checker::built_in().expect("loads");
    let input: String = cases().iter().map(|case| format!("{case}\n")).collect();
    let output = salver(&["check", "--json"], input.as_bytes());
    let expected: String = cases()
        .iter()
        .map(|case| wire::check(&checker, &case.to_string()).expect("within the bounds") + "\n")
        .collect();
    assert_eq!(String::from_utf8(output.stdout).expect("UTF-8"), expected);
    assert_eq!(output.status.code(), Some(1), "some verdict is not serve");
}

#[test]
fn an_array_and_a_document_over_several_lines_are_read() {
    let two: Vec<Value> = cases().into_iter().take(2).collect();
    let by_line: String = two.iter().map(|case| format!("{case}\n")).collect();
    let wanted = lines(&salver(&["check", "--json"], by_line.as_bytes()));
    let array = serde_json::to_string_pretty(&two).expect("JSON");
    assert_eq!(lines(&salver(&["check", "--json"], array.as_bytes())), wanted);
    let one_line = serde_json::to_string(&two).expect("JSON");
    assert_eq!(lines(&salver(&["check", "--json"], one_line.as_bytes())), wanted);
    let document = serde_json::to_string_pretty(&two[0]).expect("JSON");
    assert_eq!(lines(&salver(&["check", "--json"], document.as_bytes())), wanted[..1]);
}

#[test]
fn a_bad_line_gives_an_error_in_its_place_and_the_rest_is_judged() {
    let good = r#"{"id":"g","order":{"allergies":[]},"tray":{"items":[{"name":"steamed rice"}]}}"#;
    let too_long = format!(r#"{{"order":{{"text":"{}"}},"tray":{{"items":[]}}}}"#, "a".repeat(limits::CARD_BYTES + 1));
    let mut input = Vec::new();
    let record_too_long = vec![b' '; limits::CHECK_BYTES + 10];
    let bad: [&[u8]; 6] = [
        b"{\"order\":{\"alergies\":[]}}",
        b"nonsense",
        b"\xff\xfe",
        too_long.as_bytes(),
        b"{\"order\":",
        &record_too_long,
    ];
    for line in [good.as_bytes()].into_iter().chain(bad).chain([good.as_bytes()]) {
        input.extend_from_slice(line);
        input.push(b'\n');
    }
    let output = salver(&["check", "--json"], &input);
    let answers = lines(&output);
    assert_eq!(output.status.code(), Some(2));
    // The over-long record is only white space and its error must not be lost either.
    assert_eq!(answers.len(), 8, "{answers:#?}");
    assert_eq!((&answers[0]["verdict"], &answers[7]["verdict"]), (&json!("serve"), &json!("serve")));
    for (n, wanted) in
        [(1, "unknown field `alergies`"), (2, "expected"), (3, "UTF-8"), (4, "bound"), (5, "EOF"), (6, "bound")]
    {
        let error = &answers[n]["error"];
        assert_eq!(error["line"], n + 1, "{error}");
        assert!(error["what"].as_str().is_some_and(|w| w.contains(wanted)), "{error} should say {wanted}");
        assert!(error["field"].is_string() && error["remedy"].is_string());
    }
}

#[test]
fn exit_codes_say_whether_all_serve() {
    let serve = r#"{"order":{"allergies":[]},"tray":{"items":[{"name":"steamed rice"}]}}"#;
    let ask = r#"{"order":{},"tray":{"items":[]}}"#;
    assert_eq!(salver(&["check"], serve.as_bytes()).status.code(), Some(0));
    assert_eq!(salver(&["check"], format!("{serve}\n{ask}\n").as_bytes()).status.code(), Some(1));
    assert_eq!(salver(&["check"], b"{").status.code(), Some(2));
    assert_eq!(salver(&["check", "no-such-file.json"], b"").status.code(), Some(2));
    assert_eq!(salver(&["read", "--json"], b"{\"nam\":1}\n").status.code(), Some(2));
    assert_eq!(salver(&["know", "zorble"], b"").status.code(), Some(2));
}

#[test]
fn words_for_people_hold_the_verdict_and_the_caution() {
    let demo = root().join("examples/trays.jsonl");
    let output = salver(&["check", demo.to_str().expect("a plain path")], b"");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    for word in ["SERVE", "RETURN", "ASK", "REMOVE", "supports trained staff"] {
        assert!(text.contains(word), "{word} missing:\n{text}");
    }
    assert!(!text.contains('\u{1b}'), "no colours where no terminal is");
    assert_eq!(output.status.code(), Some(1));
}

#[test]
fn read_card_and_know() {
    let read = lines(&salver(
        &["read", "--json"],
        b"{\"id\":\"1\",\"name\":\"falafel with tahini sauce\"}\n{\"id\":\"2\",\"name\":\"\"}\n",
    ));
    assert_eq!((&read[0]["id"], &read[0]["holds"]["sesame"]), (&json!("1"), &json!("contains")));
    assert_eq!(read[1]["holds"]["milk"], "unknown", "a name that names nothing is not free of anything");
    let card =
        lines(&salver(&["card", "--json"], b"{\"id\":\"1\",\"text\":\"NAS, IDDSI 5. ALLERGY: milk (anaphylaxis)\"}\n"));
    assert_eq!((&card[0]["diets"], &card[0]["food_level"]), (&json!(["nas"]), &json!(5)));
    assert_eq!(card[0]["allergies"][0]["severe"], true);
    for (arguments, wanted) in [
        (&["read", "tahini", "sauce"][..], "contains: sesame"),
        (&["card", "nectar thick"][..], "liquid level: 2"),
        (&["know", "sesame"][..], "allergen list: United States"),
        (&["know", "no added salt"][..], "salt to add at the table"),
    ] {
        let output = salver(arguments, b"");
        let text = String::from_utf8(output.stdout).expect("UTF-8");
        assert!(text.contains(wanted), "{arguments:?} should say {wanted}:\n{text}");
        assert_eq!(output.status.code(), Some(0));
    }
}

#[test]
fn an_ontology_folder_answers_as_the_built_in_one_and_a_broken_one_is_named() {
    let folder = root().join("ontology");
    let folder = folder.to_str().expect("UTF-8 path");
    let input = b"{\"name\":\"tuna noodle casserole\"}\n";
    let inside = salver(&["read", "--json"], input);
    let outside = salver(&["--ontology", folder, "read", "--json"], input);
    assert!(outside.status.success() && !inside.stdout.is_empty());
    assert_eq!(inside.stdout, outside.stdout);
    let broken = salver(&["--ontology", "no such folder", "read", "--json"], input);
    assert_eq!(broken.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&broken.stderr).contains("no such folder"));
}
