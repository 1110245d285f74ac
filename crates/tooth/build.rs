//! Builds nothing: the page is built by `cargo xtask web`, and the binary is built anew
//! when it has changed.

fn main() {
    println!("cargo::rerun-if-changed=../../web/dist");
    println!("cargo::rerun-if-changed=build.rs");
}
