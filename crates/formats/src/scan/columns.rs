//! CSV: a bare grid of heights in millimetres, or columns with a heading: `x,z` a profile,
//! `x,y,z` points; `x_mm` says the unit.

use tooth_measure::say::{decimal, said};
use tooth_measure::{Length, Quantity as _};
use tooth_texture::HeightMap;

use super::{Asked, Kind, Named, Scan, Source, cloud, grid_scan, text};
use crate::text::Fault;

/// Heights of a grid in text at most.
const HEIGHTS: usize = 1 << 26;
/// Heights of a profile at most.
const PROFILE: usize = 1 << 22;

pub(crate) fn read(named: &Named<'_>, source: &Source, asked: &Asked) -> Result<Scan, Fault> {
    let mut heading: Option<Vec<String>> = None;
    // Only the first line that says something.
    let mut first = None;
    let looked = text::lines(named, source, |number, line| {
        if first.is_none() && !line.is_empty() && !line.starts_with('#') {
            first = Some(number);
            let cells: Vec<String> =
                line.split([',', ';', '\t']).map(|cell| cell.trim().to_lowercase()).collect();
            let numbers = cells.iter().all(|cell| height(cell).is_some());
            heading = (!numbers).then_some(cells);
        }
        if first.is_some() { Err(named.refuse("", "")) } else { Ok(()) }
    });
    let Some(first) = first else {
        looked?;
        return Err(named.refuse(said!("heights"), said!("none")));
    };
    let Some(heading) = heading else { return bare(named, source, asked) };
    let column = |axis: &str| {
        heading.iter().position(|name| name == axis || name.starts_with(&format!("{axis}_")))
    };
    let unit = |index: usize| match heading[index].split_once('_') {
        Some((_, unit)) => Length::parse(&format!("1{unit}"))
            .map(Length::millimetres)
            .map_err(|error| named.at(first, error.said(), format!("`{}`", heading[index]))),
        None => named.unit(asked),
    };
    match (column("x"), column("y"), column("z")) {
        (Some(x), Some(y), Some(z)) => {
            let units = [unit(x)?, unit(y)?, unit(z)?];
            if units.iter().any(|unit| (unit / units[0] - 1.0).abs() > 1e-9) {
                return Err(named.at(first, said!("one-unit-of-x-y-and-z"), said!("several")));
            }
            cloud::map(named, asked, 1.0, |take| {
                text::points(named, source, units[0], Some(first), [x, y, z], take)
            })
        }
        (Some(x), None, Some(z)) => profile(named, source, first, [(x, unit(x)?), (z, unit(z)?)]),
        _ => Err(named.at(first, said!("a-bare-grid-of-heights-or-a-heading"), heading.join(", "))),
    }
}

/// Whether a cell says that its value is missing.
pub(crate) fn is_missing(cell: &str) -> bool {
    ["", "nan", "-", "na"].iter().any(|word| cell.eq_ignore_ascii_case(word))
}

/// A height; not a number where the cell says that it is missing.
fn height(cell: &str) -> Option<f64> {
    if is_missing(cell) { Some(f64::NAN) } else { cell.parse().ok() }
}

fn bare(named: &Named<'_>, source: &Source, asked: &Asked) -> Result<Scan, Fault> {
    let spacing = named.spacing(asked)?;
    let factor = asked.unit.map_or(1.0, Length::millimetres);
    let (mut heights, mut columns, mut rows) = (Vec::new(), 0, 0);
    text::lines(named, source, |number, line| {
        if line.is_empty() || line.starts_with('#') {
            return Ok(());
        }
        let before = heights.len();
        for cell in line.split([',', ';', '\t']).map(str::trim) {
            let Some(z) = height(&cell.to_lowercase()) else {
                return Err(named.at(number, said!("heights"), format!("`{cell}`")));
            };
            heights.push(z * factor);
        }
        let count = heights.len() - before;
        if rows > 0 && count != columns {
            return Err(named.at(
                number,
                said!("so-many-heights", count = columns),
                count.to_string(),
            ));
        }
        (columns, rows) = (count, rows + 1);
        if heights.len() > HEIGHTS {
            return Err(named.at(number, said!("at-most-heights", most = HEIGHTS), said!("more")));
        }
        Ok(())
    })?;
    // A column of heights is a profile too.
    if columns == 1 {
        (rows, columns) = (1, rows);
    }
    Ok(grid_scan(named.map(HeightMap::new(rows, columns, spacing, &heights))?))
}

/// A profile with its places, which must be evenly apart.
fn profile(
    named: &Named<'_>,
    source: &Source,
    heading: u32,
    columns: [(usize, f64); 2],
) -> Result<Scan, Fault> {
    let (mut places, mut heights) = (Vec::new(), Vec::new());
    text::lines(named, source, |number, line| {
        if number <= heading || line.is_empty() || line.starts_with('#') {
            return Ok(());
        }
        let cells: Vec<&str> = line.split([',', ';', '\t']).map(str::trim).collect();
        let value = |(index, factor): (usize, f64)| {
            let cell = cells.get(index).copied().unwrap_or_default();
            height(&cell.to_lowercase())
                .map(|v| v * factor)
                .ok_or_else(|| named.at(number, said!("a-number"), format!("`{cell}`")))
        };
        let x = value(columns[0])?;
        if !x.is_finite() {
            return Err(named.at(number, said!("a-place"), said!("none")));
        }
        places.push((number, x));
        heights.push(value(columns[1])?);
        if places.len() > PROFILE {
            return Err(named.at(number, said!("at-most-heights", most = PROFILE), said!("more")));
        }
        Ok(())
    })?;
    if places.len() < 3 {
        return Err(named.refuse(said!("three-heights-or-more"), places.len().to_string()));
    }
    let begin = places[0].1;
    let step = (places[places.len() - 1].1 - begin) / (places.len() - 1) as f64;
    for (k, (line, place)) in places.iter().enumerate() {
        if (place - begin - step * k as f64).abs() > 0.1 * step.abs() {
            let expected = said!("places-so-far-apart", step = decimal(step, 6));
            return Err(named.at(*line, expected, format!("{place} mm")));
        }
    }
    let spacing = [Length::from_millimetres(step.abs()); 2];
    let map = named.map(HeightMap::new(1, heights.len(), spacing, &heights))?;
    Ok(Scan { map, kind: Kind::Profile, warnings: Vec::new() })
}
