//! Packs the ontology for the module.

use std::env;
use std::error::Error;
use std::fs;
use std::path::Path;

use salver::Ontology;

fn main() -> Result<(), Box<dyn Error>> {
    let packed = Ontology::pack(Ontology::built_in_files())?;
    let folder = env::var_os("OUT_DIR").ok_or("cargo sets OUT_DIR")?;
    fs::write(Path::new(&folder).join("ontology.packed"), packed)?;
    println!("cargo::rerun-if-changed=build.rs");
    Ok(())
}
