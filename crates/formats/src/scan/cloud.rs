//! Points to a height map, in two passes over the file; points beyond what memory holds wait
//! in files without a name, a strip of rows each.

use std::fs::File;
use std::io::{BufReader, Read as _, Seek as _, Write as _};

use tooth_measure::Length;
use tooth_measure::say::said;
use tooth_texture::HeightMap;
use tooth_texture::gridding::{Frame, Sample, cell_medians};

use super::{Asked, Kind, Named, Scan, coverage_words};
use crate::text::Fault;

/// Points in memory before they are put aside: 8 bytes each.
const IN_MEMORY: usize = 24 << 20;
/// Strips of rows at most.
const STRIPS: usize = 192;
/// Points of one strip at most.
const POINTS_OF_STRIP: u64 = 64 << 20;
/// Points of a file at most.
const POINTS: u64 = 1 << 30;

/// Hands on points in millimetres, piece by piece.
pub(crate) type Take<'a> = dyn FnMut(&[[f64; 3]]) -> Result<(), Fault> + 'a;

/// One strip's points: cell within the strip, and height.
#[derive(Default)]
struct StripOfRows {
    points: Vec<(u32, f32)>,
    aside: Option<File>,
    count: u64,
}

impl StripOfRows {
    fn put_aside(&mut self) -> std::io::Result<()> {
        if self.points.is_empty() {
            return Ok(());
        }
        let file = match &mut self.aside {
            Some(file) => file,
            none => none.insert(tempfile::tempfile()?),
        };
        let mut bytes = Vec::with_capacity(self.points.len() * 8);
        for (cell, z) in self.points.drain(..) {
            bytes.extend_from_slice(&cell.to_le_bytes());
            bytes.extend_from_slice(&z.to_le_bytes());
        }
        self.points = Vec::new();
        file.write_all(&bytes)
    }

    fn take_back(&mut self) -> std::io::Result<Vec<(u32, f32)>> {
        let mut points = std::mem::take(&mut self.points);
        if let Some(mut file) = self.aside.take() {
            points.reserve_exact(
                usize::try_from(self.count).unwrap_or(0).saturating_sub(points.len()),
            );
            file.rewind()?;
            let mut file = BufReader::with_capacity(1 << 20, file);
            let mut record = [0u8; 8];
            while file.read_exact(&mut record).is_ok() {
                let [a, b, c, d, e, f, g, h] = record;
                points.push((u32::from_le_bytes([a, b, c, d]), f32::from_le_bytes([e, f, g, h])));
            }
        }
        Ok(points)
    }
}

/// Two passes of the same points to a map. `repeats` is how often each point comes, on the
/// mean: a corner of a mesh belongs to several triangles.
pub(crate) fn map(
    named: &Named<'_>,
    asked: &Asked,
    repeats: f64,
    pass: impl Fn(&mut Take<'_>) -> Result<(), Fault>,
) -> Result<Scan, Fault> {
    let mut sample = Sample::default();
    pass(&mut |points| {
        sample.see(points);
        if sample.count() > POINTS {
            return Err(named.refuse(said!("at-most-points", most = POINTS), said!("more")));
        }
        Ok(())
    })?;
    if sample.count() < 3 {
        return Err(named.refuse(said!("three-points-or-more"), sample.count().to_string()));
    }
    let Some(frame) = sample.frame(asked.spacing, repeats) else {
        return Err(named.refuse(
            said!("points-that-span-a-surface-in-cells-that-a-map-can-hold"),
            said!("points-on-a-line-or-cells-too-small-or-too-many"),
        ));
    };
    let rows_of_strip = frame.rows().div_ceil(STRIPS).max(1);
    let mut strips: Vec<StripOfRows> =
        (0..frame.rows().div_ceil(rows_of_strip)).map(|_| StripOfRows::default()).collect();
    let (mut held, mut outside) = (0usize, 0u64);
    let failed =
        |error: std::io::Error| named.refuse(said!("room-for-its-points"), error.to_string());
    pass(&mut |points| {
        for point in points {
            let Some((row, column, z)) = frame.place(*point) else {
                outside += 1;
                continue;
            };
            let row = row as usize;
            let strip = &mut strips[row / rows_of_strip];
            let cell = (row % rows_of_strip) * frame.columns() + column as usize;
            strip.points.push((cell as u32, z));
            strip.count += 1;
        }
        held += points.len();
        if held > IN_MEMORY {
            held = 0;
            strips.iter_mut().try_for_each(StripOfRows::put_aside).map_err(failed)?;
        }
        Ok(())
    })?;
    let heights = medians(named, &frame, rows_of_strip, &mut strips)?;
    if heights.iter().all(|z| !z.is_finite()) {
        return Err(named.refuse(said!("heights-that-a-map-can-hold"), said!("none")));
    }
    let map = trimmed(named, &frame, heights)?;
    let kind = Kind::Cloud { points: sample.count(), outside };
    let mut scan = Scan { map, kind, warnings: Vec::new() };
    if scan.map.coverage().percent() < 90.0 {
        scan.warnings.push(Fault::warning(
            named.0,
            said!("points-in-at-least-90-of-the-cells"),
            coverage_words(scan.map.coverage()),
        ));
    }
    Ok(scan)
}

fn medians(
    named: &Named<'_>,
    frame: &Frame,
    rows_of_strip: usize,
    strips: &mut [StripOfRows],
) -> Result<Vec<f32>, Fault> {
    let mut heights = Vec::with_capacity(frame.rows() * frame.columns());
    for (number, strip) in strips.iter_mut().enumerate() {
        if strip.count > POINTS_OF_STRIP {
            let expected = said!("at-most-points-in-one-strip", most = POINTS_OF_STRIP);
            return Err(named.refuse(expected, strip.count.to_string()));
        }
        let rows = rows_of_strip.min(frame.rows() - number * rows_of_strip);
        let points = strip
            .take_back()
            .map_err(|error| named.refuse(said!("room-for-its-points"), error.to_string()))?;
        heights.extend(cell_medians(rows * frame.columns(), &points));
    }
    Ok(heights)
}

/// The map without empty rows and columns at its edges.
fn trimmed(named: &Named<'_>, frame: &Frame, heights: Vec<f32>) -> Result<HeightMap, Fault> {
    let columns = frame.columns();
    let (mut top, mut bottom, mut left, mut right) = (frame.rows(), 0, columns, 0);
    for (row, line) in heights.chunks(columns).enumerate() {
        let Some(first) = line.iter().position(|z| !z.is_nan()) else { continue };
        let last = line.iter().rposition(|z| !z.is_nan()).unwrap_or(first);
        (top, bottom) = (top.min(row), row + 1);
        (left, right) = (left.min(first), right.max(last + 1));
    }
    // The cells at the rim may be cut by the edge of the scan: a line of which less than half is
    // known is left out, one at each side.
    let known = |row: usize, column: usize| !heights[row * columns + column].is_nan();
    let half = |count: usize, of: usize| count * 2 >= of;
    let row_is_full =
        |row: usize| half((left..right).filter(|c| known(row, *c)).count(), right - left);
    let column_is_full =
        |column: usize| half((top..bottom).filter(|r| known(*r, column)).count(), bottom - top);
    let cut = |full: bool, count: usize| usize::from(!full && count > 2);
    let rows = top + cut(row_is_full(top), bottom - top)
        ..bottom - cut(row_is_full(bottom - 1), bottom - top);
    let columns_kept = left + cut(column_is_full(left), right - left)
        ..right - cut(column_is_full(right - 1), right - left);
    let spacing = [frame.spacing(); 2];
    let map = HeightMap::single(frame.rows(), columns, spacing, heights, Length::ZERO);
    named.map(map.and_then(|map| map.cut(rows, columns_kept)))
}
