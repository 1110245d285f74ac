//! A folder of scans of the user's own comparator chips.
//!
//! ```text
//! calibration.toml   edition = 10 (chips of the set: 9 or 10), and where files do not say it
//!                    spacing_mm and unit; s_filter_mm, l_filter_mm and between_surfaces where
//!                    not 0.5, 25 and 0.25
//! chips.csv          file,chip,placement     three placements of each chip, turned
//! surfaces.csv       file,ratings            concrete that people rated blind: 4;5
//! ```

use std::path::Path;

use serde::Deserialize;
use tooth_measure::say::{Said, said};
use tooth_measure::{Length, ProfileLevel, Quantity as _};
use tooth_texture::calibration::{
    BETWEEN_SURFACES, Bandwidth, Calibration, Edition, Placement, RatedSurface,
};
use tooth_texture::{HeightMap, Workers};

use super::{Asked, Scan, scan, scan_bytes};
use crate::limits;
use crate::text::Fault;

/// Where a calibration's files are: the text of a list (none where there is none), and a scan.
pub(crate) trait Shelf {
    fn text(&self, name: &str) -> Result<Option<String>, Fault>;
    fn scan(&self, name: &str, asked: &Asked) -> Result<Scan, Fault>;
}

/// A folder on disk.
struct Folder<'a>(&'a Path);

impl Shelf for Folder<'_> {
    fn text(&self, name: &str) -> Result<Option<String>, Fault> {
        text(self.0, name)
    }

    fn scan(&self, name: &str, asked: &Asked) -> Result<Scan, Fault> {
        scan(&self.0.join(name), asked)
    }
}

/// Files by name, in memory.
pub(crate) struct InMemory<'a>(pub(crate) &'a dyn Fn(&str) -> Option<Vec<u8>>);

impl Shelf for InMemory<'_> {
    fn text(&self, name: &str) -> Result<Option<String>, Fault> {
        let refuse = |_| Fault::new(name, None, "", said!("text-in-utf-8"), said!("other-bytes"));
        (self.0)(name).map(String::from_utf8).transpose().map_err(refuse)
    }

    fn scan(&self, name: &str, asked: &Asked) -> Result<Scan, Fault> {
        let bytes = (self.0)(name)
            .ok_or_else(|| Fault::new(name, None, "", said!("a-scan"), said!("none")))?;
        scan_bytes(name, bytes, asked)
    }
}

const SETTINGS: &str = "calibration.toml";
const CHIPS: &str = "chips.csv";
const SURFACES: &str = "surfaces.csv";
/// Scans of a calibration at most.
const SCANS: usize = 500;

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Settings {
    edition: Option<u8>,
    spacing_mm: Option<f64>,
    unit: Option<String>,
    s_filter_mm: Option<f64>,
    l_filter_mm: Option<f64>,
    between_surfaces: Option<f64>,
    /// For the reader: what scanned them, when, and how worn they are.
    #[serde(rename = "device")]
    _device: Option<String>,
    #[serde(rename = "scanned")]
    _scanned: Option<String>,
    #[serde(rename = "note")]
    _note: Option<String>,
}

fn text(folder: &Path, name: &str) -> Result<Option<String>, Fault> {
    let refuse = |found: Said| Fault::new(name, None, "", said!("a-readable-text"), found);
    let path = folder.join(name);
    let data = match std::fs::metadata(&path) {
        Ok(data) => data,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(refuse(error.to_string().into())),
    };
    if data.len() > limits::FILE_BYTES {
        return Err(refuse(said!("bytes", count = data.len())));
    }
    std::fs::read_to_string(path).map(Some).map_err(|error| refuse(error.to_string().into()))
}

/// Rows of a list with these columns: line and cells.
fn rows<const N: usize>(
    name: &str,
    text: &str,
    columns: [&str; N],
) -> Result<Vec<(u32, [String; N])>, Fault> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .flexible(true)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let broken =
        |error: &csv::Error| Fault::new(name, None, "", said!("a-csv-file"), error.to_string());
    let heading = reader.headers().map_err(|error| broken(&error))?.clone();
    let mut places = [0; N];
    for (place, column) in places.iter_mut().zip(columns) {
        let at = heading.iter().position(|cell| cell == column);
        *place = at.ok_or_else(|| {
            let found = heading.iter().collect::<Vec<_>>().join(",");
            Fault::new(name, Some(1), column, columns.join(","), found)
        })?;
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| broken(&error))?;
        let line = record.position().map_or(0, |place| place.line() as u32);
        rows.push((line, places.map(|at| record.get(at).unwrap_or_default().to_owned())));
        if rows.len() > SCANS {
            return Err(Fault::new(
                name,
                Some(line),
                "",
                said!("at-most-scans", most = SCANS),
                said!("more"),
            ));
        }
    }
    Ok(rows)
}

/// A calibration with what is shown of it.
pub struct Learnt {
    /// The calibration.
    pub calibration: Calibration,
    /// The first scan of each chip, thinned for drawing.
    pub chips: Vec<(ProfileLevel, HeightMap)>,
    /// What could not be compared and was left out.
    pub warnings: Vec<Fault>,
}

/// Heights a side of a chip that are kept for drawing.
const DRAWN: usize = 140;

/// Reads a calibration; what could not be compared is warned of and left out.
///
/// # Errors
///
/// Every fault that keeps it from being one.
pub fn calibration(folder: &Path, workers: &dyn Workers) -> Result<Learnt, Vec<Fault>> {
    on(&Folder(folder), workers)
}

/// As [`calibration`], from any shelf.
pub(crate) fn on(shelf: &dyn Shelf, workers: &dyn Workers) -> Result<Learnt, Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let settings: Settings = match shelf.text(SETTINGS).map_err(one)? {
        Some(text) => toml::from_str(&text).map_err(|error| {
            one(Fault::new(SETTINGS, None, "", said!("settings-of-a-calibration"), error.message()))
        })?,
        None => Settings::default(),
    };
    let edition = match settings.edition.unwrap_or(10) {
        9 => Edition::Nine,
        10 => Edition::Ten,
        other => {
            let found = other.to_string();
            return Err(one(Fault::new(
                SETTINGS,
                None,
                "edition",
                said!("from-9-or-10-chips"),
                found,
            )));
        }
    };
    let asked = Asked {
        spacing: settings.spacing_mm.map(Length::from_millimetres),
        unit: match &settings.unit {
            Some(unit) => Some(Length::parse(&format!("1{unit}")).map_err(|error| {
                one(Fault::new(SETTINGS, None, "unit", error.said(), format!("`{unit}`")))
            })?),
            None => None,
        },
    };
    let usual = Bandwidth::default();
    let bandwidth = Bandwidth {
        s_filter: settings.s_filter_mm.map_or(usual.s_filter, Length::from_millimetres),
        l_filter: settings.l_filter_mm.map_or(usual.l_filter, Length::from_millimetres),
    };
    let between = settings.between_surfaces.unwrap_or(BETWEEN_SURFACES);
    if !(0.01..=2.0).contains(&between) {
        let expected = said!("from-to", low = "0.01", high = "2");
        let found = between.to_string();
        return Err(one(Fault::new(SETTINGS, None, "between_surfaces", expected, found)));
    }
    let Some(chips) = shelf.text(CHIPS).map_err(one)? else {
        return Err(one(Fault::new(
            CHIPS,
            None,
            "",
            said!("a-list-of-the-scanned-chips"),
            said!("none"),
        )));
    };
    let (mut faults, mut warnings) = (Vec::new(), Vec::new());
    let mut placements = Vec::new();
    let mut chips_drawn: Vec<(ProfileLevel, HeightMap)> = Vec::new();
    for (line, [file, chip, placement]) in
        rows(CHIPS, &chips, ["file", "chip", "placement"]).map_err(one)?
    {
        let level = chip.parse().ok().and_then(ProfileLevel::new);
        let number = placement.parse().ok();
        let (Some(level), Some(number)) = (level, number) else {
            let found = format!("{chip}, {placement}");
            let expected = said!("a-chip-from-1-to-10-and-the-number-of-its-placement");
            faults.push(Fault::new(CHIPS, Some(line), "chip", expected, found));
            continue;
        };
        match inside(&file, CHIPS, line).and_then(|()| shelf.scan(&file, &asked)) {
            Err(fault) => faults.push(fault),
            Ok(scan) => match bandwidth.figures_of_chip(&scan.map, workers) {
                Ok(patches) => {
                    if !chips_drawn.iter().any(|(drawn, _)| *drawn == level) {
                        chips_drawn.push((level, scan.map.thinned(DRAWN)));
                    }
                    placements.push(Placement { level, number, patches });
                }
                Err(why) => warnings.push(Fault {
                    line: Some(line),
                    ..Fault::warning(CHIPS, said!("a-scan-to-compare", file = file), why.said())
                }),
            },
        }
    }
    let mut surfaces = Vec::new();
    if let Some(list) = shelf.text(SURFACES).map_err(one)? {
        for (line, [file, ratings]) in rows(SURFACES, &list, ["file", "ratings"]).map_err(one)? {
            let said: Option<Vec<ProfileLevel>> = ratings
                .split(';')
                .map(|rating| rating.trim().parse().ok().and_then(ProfileLevel::new))
                .collect();
            let Some(ratings) = said.filter(|ratings| ratings.len() >= 2) else {
                let expected = said!("ratings-of-two-people-or-more-like-4-5");
                faults.push(Fault::new(SURFACES, Some(line), "ratings", expected, ratings));
                continue;
            };
            match inside(&file, SURFACES, line).and_then(|()| shelf.scan(&file, &asked)) {
                Err(fault) => faults.push(fault),
                Ok(scan) => match bandwidth.figures(&scan.map, None, workers) {
                    Ok(patches) => surfaces.push(RatedSurface { ratings, patches }),
                    Err(why) => warnings.push(Fault {
                        line: Some(line),
                        ..Fault::warning(
                            SURFACES,
                            said!("a-scan-to-compare", file = file),
                            why.said(),
                        )
                    }),
                },
            }
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    match Calibration::new(edition, bandwidth, &placements, &surfaces, between) {
        Ok(calibration) => {
            chips_drawn.sort_by_key(|(level, _)| *level);
            Ok(Learnt { calibration, chips: chips_drawn, warnings })
        }
        Err(why) => {
            let fault = Fault::new(
                CHIPS,
                None,
                "",
                said!("chips-that-a-level-can-be-learnt-on"),
                why.said(),
            );
            warnings.insert(0, fault);
            Err(warnings)
        }
    }
}

/// Whether it names a file of the folder, nothing outside it.
fn inside(file: &str, list: &str, line: u32) -> Result<(), Fault> {
    let mut parts = Path::new(file).components();
    let plain =
        matches!((parts.next(), parts.next()), (Some(std::path::Component::Normal(_)), None));
    if plain {
        return Ok(());
    }
    let expected = said!("a-file-of-the-calibration-folder");
    Err(Fault::new(list, Some(line), "file", expected, format!("`{file}`")))
}
