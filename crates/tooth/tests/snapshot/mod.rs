//! Expected outputs as files beside the tests.

use std::path::Path;

/// Compares a text with the file of this name, or writes it when `TOOTH_BLESS` is set.
pub(crate) fn compare(name: &str, found: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots").join(name);
    if std::env::var_os("TOOTH_BLESS").is_some() {
        std::fs::write(&path, found).unwrap();
        return;
    }
    let expected = std::fs::read_to_string(&path).unwrap_or_default();
    if expected == found {
        return;
    }
    let first = expected
        .lines()
        .zip(found.lines())
        .position(|(a, b)| a != b)
        .unwrap_or_else(|| expected.lines().count().min(found.lines().count()));
    panic!(
        "{name} differs from line {}:\n  expected: {}\n  found:    {}\n(cargo xtask bless writes it anew)",
        first + 1,
        expected.lines().nth(first).unwrap_or("<end>"),
        found.lines().nth(first).unwrap_or("<end>"),
    );
}
