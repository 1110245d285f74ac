//! Bytes of any kind as a scan: read or refused.

#![no_main]

use libfuzzer_sys::fuzz_target;
use tooth_formats::scan::{Asked, ENDINGS, scan};
use tooth_measure::Length;

fuzz_target!(|bytes: &[u8]| {
    let Some((first, rest)) = bytes.split_first() else { return };
    let ending = ENDINGS[usize::from(*first) % ENDINGS.len()];
    let path = std::env::temp_dir().join(format!("fuzz-{}.{ending}", std::process::id()));
    std::fs::write(&path, rest).expect("room for a small file");
    let unit = Length::from_millimetres(1.0);
    // Half of them choose their spacing themselves.
    let spacing = (first & 0x80 == 0).then_some(unit);
    if let Err(fault) = scan(&path, &Asked { spacing, unit: Some(unit) }) {
        assert!(!fault.expected.is_nothing() && !fault.found.is_nothing());
    }
    let _ = std::fs::remove_file(&path);
});
