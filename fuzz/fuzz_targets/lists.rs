//! Any text as a list of taps, a path or a boundary: read, or refused with a reason.

#![no_main]

use libfuzzer_sys::fuzz_target;
use tooth_formats::recording::{boundary, path, taps};

fuzz_target!(|text: &str| {
    for refused in [
        taps("fuzz.csv", text).err(),
        path("fuzz.csv", text).err(),
        boundary("fuzz.geojson", text).err(),
    ] {
        assert!(refused.is_none_or(|faults| !faults.is_empty()));
    }
});
