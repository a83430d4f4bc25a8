//! Gives the shared library its soname. Below 1.0.0 a minor version may change the interface, so it is part of it.

#![allow(clippy::print_stdout, reason = "how a build script speaks to cargo")]

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    if std::env::var("CARGO_CFG_TARGET_OS").as_deref() == Ok("linux") {
        let soname = match (env!("CARGO_PKG_VERSION_MAJOR"), env!("CARGO_PKG_VERSION_MINOR")) {
            ("0", minor) => format!("libsalver.so.0.{minor}"),
            (major, _) => format!("libsalver.so.{major}"),
        };
        println!("cargo::rustc-cdylib-link-arg=-Wl,-soname,{soname}");
    }
}
