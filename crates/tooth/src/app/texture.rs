//! `texture`: a scan, without a job.

use std::path::PathBuf;

use tooth_formats::Fault;
use tooth_formats::scan::calibration::calibration;
use tooth_formats::scan::{Asked, Kind, LargeGrid, Scan, Threads, Trouble, large, scan};
use tooth_measure::Length;
use tooth_measure::say::said;
use tooth_texture::calibration::{Calibration, Level};
use tooth_texture::{Rows as _, Texture, Treatment, middle_of, noise_of_repeats};

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
    /// Rows and columns of the scan, and its spacings.
    pub(crate) size: [usize; 2],
    pub(crate) spacing: [Length; 2],
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
    if let Some(grid) = large(&input.file, &input.asked).map_err(|fault| vec![fault])? {
        return of_large(&grid, input);
    }
    let Scan { map, kind, mut warnings } = scan(&input.file, &input.asked).map_err(|f| vec![f])?;
    let name = input.file.file_name().unwrap_or(input.file.as_os_str()).to_string_lossy();
    let learnt = learnt(input, &mut warnings)?;
    let noise = match &input.repeated {
        Some(file) => {
            let again = scan(file, &input.asked).map_err(|fault| vec![fault])?;
            let noise = noise_of_repeats(&map, &again.map).ok_or_else(|| {
                let expected = said!("app-the-same-place-scanned-again-as-many");
                let again = format!("{} × {}", again.map.rows(), again.map.columns());
                vec![Fault::new(&name, None, "", expected, again)]
            })?;
            Some(noise)
        }
        None => None,
    };
    let level = Level::of(learnt.as_ref(), &map, noise, &Threads);
    let size = [map.rows(), map.columns()];
    let spacing = map.spacing();
    let texture = Texture::of(map, &input.treatment, &Threads).map_err(|refusal| {
        vec![Fault::new(
            &name,
            None,
            "",
            said!("app-heights-and-filters-that-fit-them"),
            refusal.said(),
        )]
    })?;
    Ok(Textured { texture, size, spacing, kind, noise, level, calibration: learnt, warnings })
}

/// The calibration that was asked for; what it leaves out is warned of.
fn learnt(
    input: &TextureInput,
    warnings: &mut Vec<Fault>,
) -> Result<Option<Calibration>, Vec<Fault>> {
    let Some(folder) = &input.calibration else { return Ok(None) };
    let learnt = calibration(folder, &Threads)?;
    warnings.extend(learnt.warnings);
    Ok(Some(learnt.calibration))
}

/// Rows and columns about the middle that a large grid's level is told by.
const GRADED: usize = 4096;

/// A grid that is read in rows; its level is that of its middle.
fn of_large(grid: &LargeGrid, input: &TextureInput) -> Result<Textured, Vec<Fault>> {
    let name = input.file.file_name().unwrap_or(input.file.as_os_str()).to_string_lossy();
    let fault = |trouble: Trouble| match trouble {
        Trouble::Fault(fault) => vec![fault],
        Trouble::Refusal(refusal) => {
            let expected = said!("app-heights-and-filters-that-fit-them");
            vec![Fault::new(&name, None, "", expected, refusal.said())]
        }
    };
    if input.repeated.is_some() {
        let expected = said!("app-a-repeated-scan-of-at-most-8192");
        return Err(vec![Fault::new(&name, None, "", expected, said!("app-a-larger-one"))]);
    }
    let texture = Texture::of_rows(grid, &input.treatment, &Threads).map_err(fault)?;
    let size = [grid.rows(), grid.columns()];
    let mut warnings = Vec::new();
    let learnt = learnt(input, &mut warnings)?;
    let level = match &learnt {
        None => Level::NotCalibrated,
        Some(_) => {
            let rows = grid.read(middle_of(size[0], GRADED)).map_err(fault)?;
            let middle = rows.cut(0..rows.rows(), middle_of(size[1], GRADED));
            let middle = middle.map_err(|refusal| fault(Trouble::Refusal(refusal)))?;
            Level::of(learnt.as_ref(), &middle, None, &Threads)
        }
    };
    Ok(Textured {
        texture,
        size,
        spacing: grid.spacing(),
        kind: Kind::Grid,
        noise: None,
        level,
        calibration: learnt,
        warnings,
    })
}
