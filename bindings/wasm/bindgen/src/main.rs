//! Writes the JavaScript side of a compiled module: `bindgen MODULE.wasm FOLDER NAME`.

use wasm_bindgen_cli_support::Bindgen;

fn main() {
    let [module, folder, name] =
        std::env::args().skip(1).collect::<Vec<_>>().try_into().expect("MODULE.wasm FOLDER NAME");
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(module)
        .out_name(&name)
        .typescript(false)
        .remove_name_section(true)
        .remove_producers_section(true);
    bindgen.web(true).and_then(|b| b.generate(folder)).expect("the module fits this version of wasm-bindgen");
}
