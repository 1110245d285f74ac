//! `texture`: a scan, without a job.

use std::path::PathBuf;

use tooth_formats::Fault;
use tooth_formats::scan::calibration::calibration;
use tooth_formats::scan::{Asked, Kind, Scan, Threads, scan};
use tooth_measure::Length;
use tooth_texture::calibration::{Calibration, Level};
use tooth_texture::{Texture, Treatment, noise_of_repeats};

use super::{App, Refusal, computed};

/// What a texture is made from.
#[derive(Debug, Clone, Default)]
pub(crate) struct TextureInput {
    pub(crate) file: PathBuf,
    pub(crate) asked: Asked,
    pub(crate) treatment: Treatment,
    pub(crate) calibration: Option<PathBuf>,
    /// The same place scanned again.
    pub(crate) repeated: Option<PathBuf>,
}

/// A texture, its level, and what to look at.
#[derive(Debug, Clone)]
pub(crate) struct Textured {
    pub(crate) texture: Texture,
    pub(crate) kind: Kind,
    pub(crate) noise: Option<Length>,
    pub(crate) level: Level,
    pub(crate) calibration: Option<Calibration>,
    pub(crate) warnings: Vec<Fault>,
}

impl App {
    /// The figures of a scan.
    pub(crate) async fn texture(&self, input: TextureInput) -> Result<Textured, Refusal> {
        computed(move || of(&input)).await.map_err(Refusal::Input)
    }
}

fn of(input: &TextureInput) -> Result<Textured, Vec<Fault>> {
    let Scan { map, kind, mut warnings } = scan(&input.file, &input.asked).map_err(|f| vec![f])?;
    let name = input.file.file_name().unwrap_or(input.file.as_os_str()).to_string_lossy();
    let learnt = match &input.calibration {
        Some(folder) => {
            let learnt = calibration(folder, &Threads)?;
            warnings.extend(learnt.warnings);
            Some(learnt.calibration)
        }
        None => None,
    };
    let noise = match &input.repeated {
        Some(file) => {
            let again = scan(file, &input.asked).map_err(|fault| vec![fault])?;
            let noise = noise_of_repeats(&map, &again.map).ok_or_else(|| {
                let expected = "the same place scanned again, as many rows and columns";
                let again = format!("{} × {}", again.map.rows(), again.map.columns());
                vec![Fault::new(&name, None, "", expected, again)]
            })?;
            Some(noise)
        }
        None => None,
    };
    let level = Level::of(learnt.as_ref(), &map, noise, &Threads);
    let texture = Texture::of(map, &input.treatment, &Threads).map_err(|refusal| {
        vec![Fault::new(&name, None, "", "heights, and filters that fit them", refusal.to_string())]
    })?;
    Ok(Textured { texture, kind, noise, level, calibration: learnt, warnings })
}
