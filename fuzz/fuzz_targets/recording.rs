//! Bytes of any kind as a recording: heard or refused.

#![no_main]

use libfuzzer_sys::fuzz_target;
use tooth_formats::recording::hear_bytes;
use tooth_sounding::Sounding;

fuzz_target!(|bytes: &[u8]| {
    let kind = ["wav", "flac", "mp3", "m4a", "ogg"][bytes.len() % 5];
    if let Ok(recording) = hear_bytes(&format!("fuzz.{kind}"), bytes.to_vec()) {
        let _ = Sounding::of(&recording.heard, &[], None);
    }
});
