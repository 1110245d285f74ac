//! `sounding`: a recording and its list, without a job.

use std::path::{Path, PathBuf};

use tooth_formats::recording::{boundary, hear, hear_sweep, path, taps};
use tooth_formats::{Fault, limits};
use tooth_measure::Point;
use tooth_measure::say::{Said, said};
use tooth_sounding::walk::Walk;
use tooth_sounding::{Known, Mark, Sounding};

use super::documents::put_in_place;
use super::{App, Refusal, computed};

/// What a sounding is made from.
#[derive(Debug, Clone)]
pub(crate) struct SoundingInput {
    pub(crate) recording: PathBuf,
    pub(crate) taps: TapsFrom,
    pub(crate) boundary: Option<PathBuf>,
}

/// Where the taps' places come from.
#[derive(Debug, Clone)]
pub(crate) enum TapsFrom {
    /// Nowhere: every tap that is heard, without a place.
    Recording,
    /// A list.
    List(PathBuf),
    /// The path of a sweep: a dragged chain or a rubbing stone.
    Sweep(PathBuf),
    /// A walked grid of so many rows, with taps that a person vouches for.
    Walk { walk: Walk, rows: u32, known: Vec<(u32, Known)> },
}

/// A sounding and what to look at.
#[derive(Debug, Clone)]
pub(crate) struct Sounded {
    pub(crate) sounding: Sounding,
    pub(crate) warnings: Vec<Fault>,
}

impl App {
    /// Sounds a recording.
    pub(crate) async fn sounding(&self, input: SoundingInput) -> Result<Sounded, Refusal> {
        computed(move || sound(&input)).await.map_err(Refusal::Input)
    }
}

/// Writes the pictures that there are into a folder.
pub(crate) fn write_pictures(
    folder: &Path,
    pictures: &[(&str, Option<String>)],
) -> Result<(), Refusal> {
    let placings: Vec<(&Path, &[u8])> = pictures
        .iter()
        .filter_map(|(name, svg)| Some((Path::new(*name), svg.as_ref()?.as_bytes())))
        .collect();
    put_in_place(folder, &placings)
}

fn sound(input: &SoundingInput) -> Result<Sounded, Vec<Fault>> {
    let marks = match &input.taps {
        TapsFrom::Recording | TapsFrom::Sweep(_) => Vec::new(),
        TapsFrom::List(path) => taps(&name(path), &read(path)?)?,
        TapsFrom::Walk { walk, rows, known } => (0..walk.per_row * rows)
            .map(|number| Mark {
                number,
                place: Some(walk.place(number)),
                known: known.iter().find(|(tap, _)| *tap == number).map(|(_, known)| *known),
                time: None,
            })
            .collect(),
    };
    let outline = match &input.boundary {
        Some(path) => Some(boundary(&name(path), &read(path)?)?),
        None => None,
    };
    if let Some(outline) = &outline {
        let places: Vec<Point> = marks.iter().filter_map(|mark| mark.place).collect();
        if !places.is_empty() && !places.iter().any(|place| outline.holds(*place)) {
            let file = input.boundary.as_deref().map(name).unwrap_or_default();
            let expected = said!("app-a-boundary-about-the-taps");
            return Err(vec![Fault::new(
                &file,
                None,
                "",
                expected,
                said!("app-one-that-holds-none-of-them"),
            )]);
        }
    }
    let one = |fault: Fault| vec![fault];
    let (recording, sounding) = if let TapsFrom::Sweep(file) = &input.taps {
        let steps = path(&name(file), &read(file)?)?;
        let recording = hear_sweep(&input.recording).map_err(one)?;
        let sounding = Sounding::of_sweep(&recording.heard, &steps, outline.as_ref());
        (recording, sounding)
    } else {
        let recording = hear(&input.recording).map_err(one)?;
        let sounding = Sounding::of(&recording.heard, &marks, outline.as_ref());
        (recording, sounding)
    };
    let sounding = sounding.map_err(|refusal| {
        let expected = match refusal {
            tooth_sounding::Refusal::Misaligned { .. } => {
                said!("app-as-many-taps-in-the-recording")
            }
            _ => said!("app-a-recording-of-hammer-taps"),
        };
        let file = name(&input.recording);
        let refused = Fault::new(&file, None, "", expected, refusal.said());
        // What is wrong with the recording may be why.
        std::iter::once(refused).chain(recording.warnings.iter().cloned()).collect::<Vec<_>>()
    })?;
    Ok(Sounded { sounding, warnings: recording.warnings })
}

fn name(path: &Path) -> String {
    path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned()
}

fn read(path: &Path) -> Result<String, Vec<Fault>> {
    let refuse =
        |found: Said| vec![Fault::new(&name(path), None, "", said!("a-readable-text"), found)];
    let length = std::fs::metadata(path).map_err(|error| refuse(error.to_string().into()))?.len();
    if length > limits::FILE_BYTES {
        return Err(refuse(said!("bytes", count = length)));
    }
    std::fs::read_to_string(path).map_err(|error| refuse(error.to_string().into()))
}
