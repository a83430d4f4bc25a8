//! Every case of `tests/cases/*.json` through the library: verdict and findings as the design says.

#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use salver::{Checker, wire};
use serde_json::{Value, json};

#[test]
fn every_case_is_judged_as_the_design_says() {
    let checker = Checker::built_in().expect("loads");
    let mut wrong = Vec::new();
    let mut names = BTreeSet::new();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let mut files: Vec<_> =
        fs::read_dir(folder).expect("the folder is there").map(|e| e.expect("readable").path()).collect();
    files.sort();
    for path in files {
        let file: Value = serde_json::from_str(&fs::read_to_string(&path).expect("readable")).expect("JSON");
        for case in file["cases"].as_array().expect("cases") {
            let name = case["name"].as_str().expect("a name").to_owned();
            assert!(names.insert(name.clone()), "two cases are called {name}");
            let ask = json!({"order": case["order"], "tray": case["tray"]}).to_string();
            let answer: Value =
                serde_json::from_str(&wire::check(&checker, &ask).expect("within the bounds")).expect("JSON");
            if answer["verdict"] != case["verdict"] {
                wrong.push(format!("{name}: {} instead of {}: {}", answer["verdict"], case["verdict"], answer["say"]));
                continue;
            }
            let found = answer["findings"].as_array().expect("findings");
            for wanted in case["findings"].as_array().into_iter().flatten() {
                let wanted = wanted.as_object().expect("an object");
                if !found.iter().any(|f| wanted.iter().all(|(key, value)| &f[key] == value)) {
                    wrong.push(format!("{name}: no finding {}", Value::Object(wanted.clone())));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {} cases:\n{}", wrong.len(), names.len(), wrong.join("\n"));
    assert!(names.len() >= 100, "{} cases", names.len());
}
