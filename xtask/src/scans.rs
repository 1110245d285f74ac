//! The demo's scans of comparator chips and of its floor, made up: invented, and marked as such.
//! Same bytes every time on one processor family. No height of a real chip stands behind them:
//! a ladder of our own, each level 1.6 times as high as the one before.

use std::fs;

use tooth_measure::Length;
use tooth_measure::chance::{Seed, Stream};
use tooth_texture::synthetic;

use crate::run::root;

/// Heights a side, and their spacing.
const SIDE: usize = 280;
const STEP: f64 = 0.25;
/// Chips that were "scanned", thrice each.
const CHIPS: std::ops::RangeInclusive<u8> = 1..=6;
const PLACEMENTS: u8 = 3;
/// The floor: name, place on the plan in feet, level of the ladder, bug holes.
const FLOOR: [(&str, [f64; 2], f64, usize); 3] = [
    ("cafe-counter", [58.0, 12.0], 1.9, 0),
    ("wash-bay-drain", [84.0, 18.0], 3.7, 4),
    ("workshop-door", [66.0, 50.0], 2.3, 2),
];

/// Root mean square height and correlation length of a level of the ladder, in millimetres.
fn ladder(level: f64) -> (f64, f64) {
    (0.03 * 1.6f64.powf(level - 1.0), 2.0 * 1.08f64.powf(level - 1.0))
}

/// Heights in micrometres.
fn made(level: f64, holes: usize, seed: u64) -> Vec<i16> {
    let mm = Length::from_millimetres;
    let (height, length) = ladder(level);
    let map = synthetic::gaussian(SIDE, mm(STEP), mm(height), mm(length), Seed(seed));
    let datum = map.datum().millimetres();
    let mut chance = Stream::new(Seed(seed), 7);
    let side = SIDE as f64 * STEP;
    let holes: Vec<[f64; 3]> = (0..holes)
        .map(|_| [chance.uniform() * side, chance.uniform() * side, 0.8 + chance.uniform()])
        .collect();
    let heights: Vec<f64> = map
        .heights_mm()
        .iter()
        .enumerate()
        .map(|(k, z)| {
            let (x, y) = ((k % SIDE) as f64 * STEP, (k / SIDE) as f64 * STEP);
            let pit: f64 = holes
                .iter()
                .map(|[a, b, r]| 1.0 - ((x - a).powi(2) + (y - b).powi(2)) / (r * r))
                .filter(|depth| *depth > 0.0)
                .sum();
            f64::from(*z) + datum - pit
        })
        .collect();
    heights.iter().map(|z| (z * 1000.0).round().clamp(-32_000.0, 32_000.0) as i16).collect()
}

/// The bytes of an SDF file (ISO 25178-71) of micrometres.
fn sdf(heights: &[i16]) -> Vec<u8> {
    let mut bytes = b"bISO-1.0invented  150620260000150620260000".to_vec();
    for count in [SIDE as u16; 2] {
        bytes.extend_from_slice(&count.to_le_bytes());
    }
    for scale in [STEP * 1e-3, STEP * 1e-3, 1e-6, 1e-6] {
        bytes.extend_from_slice(&scale.to_le_bytes());
    }
    bytes.extend_from_slice(&[0, 5, 0]);
    bytes.extend(heights.iter().flat_map(|z| z.to_le_bytes()));
    bytes
}

pub(crate) fn make() -> Result<String, String> {
    let folder = root().join("demo/texture");
    let calibration = folder.join("calibration");
    fs::create_dir_all(&calibration).map_err(|error| error.to_string())?;
    let write = |path: std::path::PathBuf, bytes: &[u8]| {
        fs::write(&path, bytes).map_err(|error| format!("{}: {error}", path.display()))
    };
    let mut chips = "file,chip,placement\n".to_owned();
    for chip in CHIPS {
        for placement in 1..=PLACEMENTS {
            let name = format!("chip-{chip}-{placement}.sdf");
            let seed = 1000 + u64::from(chip) * 10 + u64::from(placement);
            write(calibration.join(&name), &sdf(&made(f64::from(chip), 0, seed)))?;
            chips += &format!("{name},{chip},{placement}\n");
        }
    }
    write(calibration.join("chips.csv"), chips.as_bytes())?;
    let settings = "# Invented: made by a program, not scanned.\nedition = 10\ndevice = \"scanner 1, tripod (invented)\"\nscanned = \"2026-09-09\"\n";
    write(calibration.join("calibration.toml"), settings.as_bytes())?;
    let mut list = "file,x,y,time,by\n".to_owned();
    for (number, (name, [x, y], level, holes)) in FLOOR.into_iter().enumerate() {
        let heights = made(level, holes, 2000 + number as u64);
        write(folder.join(format!("{name}.sdf")), &sdf(&heights))?;
        list += &format!("{name}.sdf,{x},{y},2026-09-10T13:{:02},M. Adeyemi\n", 10 * number);
    }
    write(folder.join("scans.csv"), list.as_bytes())?;
    Ok(format!("{} scans of chips, {} of the floor", 18, FLOOR.len()))
}
