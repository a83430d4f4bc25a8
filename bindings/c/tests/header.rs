//! `include/salver.h` is what the source says. `SALVER_WRITE_HEADER=1` writes it anew.

#![allow(clippy::expect_used, reason = "a test fails by panicking")]

use std::path::Path;

#[test]
fn the_header_is_made_from_the_source() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"));
    let path = folder.join("include/salver.h");
    let mut made = Vec::new();
    cbindgen::generate(folder).expect("the source makes a header").write(&mut made);
    if std::env::var_os("SALVER_WRITE_HEADER").is_some() {
        std::fs::write(&path, &made).expect("writable");
    }
    let kept = std::fs::read(&path).expect("the header is there");
    assert!(made == kept, "include/salver.h is not what src/lib.rs says: SALVER_WRITE_HEADER=1 cargo test -p salver-c");
}
