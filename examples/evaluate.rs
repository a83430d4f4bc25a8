//! stub
#![allow(clippy::print_stdout)]
fn main() {
    match salver::Checker::built_in() { Ok(c) => println!("{} concepts", c.ontology().len()), Err(e) => println!("{e}") }
}
