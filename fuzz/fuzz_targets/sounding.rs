//! Any samples with any list of about as many taps: a row each, or refused.

#![no_main]

use libfuzzer_sys::fuzz_target;
use tooth_measure::{Frequency, Length, Point};
use tooth_sounding::{Known, Listener, Mark, Sounding};

fuzz_target!(|bytes: &[u8]| {
    let Some(([rate, rows, pitch], samples)) = bytes.split_first_chunk::<3>() else { return };
    let rate = 8000.0 + 150.0 * f64::from(*rate);
    let mut listener = Listener::new(Frequency::from_hertz(rate));
    // Each byte holds for a while, and clicks where it changes.
    for byte in samples {
        let level = (f32::from(*byte) - 128.0) / 128.0;
        let piece: Vec<f32> = (0..400).map(|n| level * 0.97f32.powi(n)).collect();
        listener.hear(&piece);
    }
    let pitch = 0.01 * f64::from(*pitch);
    let marks: Vec<Mark> = (0..u32::from(*rows))
        .map(|number| Mark {
            number,
            place: (number % 7 != 6).then(|| {
                let length = |n: u32| Length::from_metres(pitch * f64::from(n));
                Point::new(length(number % 10), length(number / 10))
            }),
            known: [None, Some(Known::Sound), None, Some(Known::Hollow)][(number % 4) as usize],
            time: None,
        })
        .collect();
    if let Ok(sounding) = Sounding::of(&listener.finish(), &marks, None) {
        assert!(marks.is_empty() || sounding.taps.len() == marks.len());
    }
});
