//! The demo's and the example's recordings of hammer taps, synthesized: invented, and marked as such.
//! Same bytes every time on one processor family.

use std::fmt::Write as _;
use std::fs;

use tooth_measure::chance::Seed;
use tooth_measure::{Fraction, Frequency, Length, Level, Point};
use tooth_sounding::synthesizer::{Patch, Patches, Recipe};

use crate::run::root;

/// One made-up recording.
struct Taken {
    folder: &'static str,
    name: &'static str,
    recipe: Recipe,
    /// Where on the plan its corner lies, in feet.
    corner: (f64, f64),
    /// Taps far from every loose patch that somebody opened or cored.
    good: &'static [usize],
}

pub(crate) fn make() -> Result<String, String> {
    let mut made = Vec::new();
    for taken in [example(), demo()] {
        made.push(taken.write()?);
    }
    Ok(made.join("\n"))
}

fn patch(x: f64, y: f64, half_length: f64, half_width: f64, depth_inches: f64) -> Patch {
    let feet = Length::from_feet;
    Patch {
        centre: Point::new(feet(x), feet(y)),
        half_length: feet(half_length),
        half_width: feet(half_width),
        turn: Fraction::new(0.08),
        depth: Length::from_inches(depth_inches),
        tight: false,
    }
}

fn example() -> Taken {
    let mut recipe = Recipe::usual(Seed(2026));
    recipe.columns = 9;
    recipe.rows = 8;
    recipe.pitch = Length::from_feet(1.0);
    recipe.patches =
        Patches::Given(vec![patch(3.1, 5.3, 1.7, 1.3, 1.75), patch(7.4, 2.0, 1.0, 0.85, 1.25)]);
    recipe.signal_to_noise = Level::from_decibels(14.0);
    recipe.sample_rate = Frequency::from_hertz(24_000.0);
    recipe.silent = vec![40];
    let good = &[0, 8, 14, 22, 48, 58, 63, 71];
    Taken { folder: "examples/tap-grid", name: "bay", recipe, corner: (0.0, 0.0), good }
}

/// The café's hollow place of the demo, which is traced on its plan too.
fn demo() -> Taken {
    let mut recipe = Recipe::usual(Seed(2027));
    recipe.columns = 12;
    recipe.rows = 9;
    recipe.pitch = Length::from_feet(1.0);
    recipe.patches = Patches::Given(vec![patch(5.8, 5.0, 3.1, 2.7, 1.5)]);
    recipe.signal_to_noise = Level::from_decibels(15.0);
    recipe.sample_rate = Frequency::from_hertz(16_000.0);
    let good = &[0, 6, 10, 22, 24, 47, 60, 83, 96, 101, 107];
    Taken { folder: "demo/sounding", name: "cafe-bay", recipe, corner: (51.0, 12.0), good }
}

impl Taken {
    fn write(&self) -> Result<String, String> {
        let made = self.recipe.make();
        let mut list = "tap,x_ft,y_ft,known\n".to_owned();
        for (number, tap) in made.taps.iter().enumerate() {
            let good = self.good.contains(&number);
            if good && tap.hollow {
                return Err(format!("{}: tap {number} lies on a loose patch", self.name));
            }
            let known = if good { "sound" } else { "" };
            let (x, y) = (tap.place.x.feet() + self.corner.0, tap.place.y.feet() + self.corner.1);
            let _ = writeln!(list, "{number},{x:.1},{y:.1},{known}");
        }
        let folder = root().join(self.folder);
        fs::create_dir_all(&folder).map_err(|error| error.to_string())?;
        let write = |ending: &str, bytes: &[u8]| {
            let name = format!("{}.{ending}", self.name);
            fs::write(folder.join(&name), bytes).map_err(|error| format!("{name}: {error}"))
        };
        write("wav", &wav(&made.samples, self.recipe.sample_rate))?;
        write("csv", list.as_bytes())?;
        Ok(format!("{} taps synthesized in {}", made.taps.len(), self.folder))
    }
}

/// A WAV file of 16 bits, one channel.
fn wav(samples: &[f32], rate: Frequency) -> Vec<u8> {
    let rate = rate.hertz() as u32;
    let data: Vec<u8> = samples
        .iter()
        .flat_map(|x| ((x * 32_768.0).clamp(-32_768.0, 32_767.0) as i16).to_le_bytes())
        .collect();
    let length = data.len() as u32;
    let mut file = Vec::with_capacity(data.len() + 44);
    file.extend(b"RIFF");
    file.extend((36 + length).to_le_bytes());
    file.extend(b"WAVEfmt ");
    file.extend(16u32.to_le_bytes());
    file.extend(1u16.to_le_bytes());
    file.extend(1u16.to_le_bytes());
    file.extend(rate.to_le_bytes());
    file.extend((rate * 2).to_le_bytes());
    file.extend(2u16.to_le_bytes());
    file.extend(16u16.to_le_bytes());
    file.extend(b"data");
    file.extend(length.to_le_bytes());
    file.extend(data);
    file
}
