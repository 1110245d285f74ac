//! Work down the columns of a map: a few at a time are gathered into lines, worked on and put
//! back, so that memory is read as it lies and little is held beside the map.

use crate::map::PART;
use crate::workers::{Workers, each};

/// Columns that are worked on together.
pub(crate) const BLOCK: usize = 16;
/// Strips of them that are held at a time.
pub(crate) const STRIPS: usize = 32;

/// Changes whole columns, handed on as lines one after the other.
pub(crate) fn change_columns(
    map: &mut [f32],
    columns: usize,
    workers: &dyn Workers,
    work: impl Fn(&mut [f32]) + Sync,
) {
    let rows = map.len() / columns;
    let starts: Vec<usize> = (0..columns).step_by(BLOCK).collect();
    for group in starts.chunks(STRIPS) {
        let source = &*map;
        let strips = each(workers, group.to_vec(), |first| {
            let width = BLOCK.min(columns - first);
            let mut lines = vec![0.0f32; width * rows];
            for (row, heights) in source.chunks(columns).enumerate() {
                for (k, z) in heights[first..first + width].iter().enumerate() {
                    lines[k * rows + row] = *z;
                }
            }
            work(&mut lines);
            (first, width, lines)
        });
        put_strips(map, columns, rows, &strips, workers);
    }
}

/// Puts strips of columns, each of so many lines from a first column on, into a map.
pub(crate) fn put_strips(
    map: &mut [f32],
    columns: usize,
    rows: usize,
    strips: &[(usize, usize, Vec<f32>)],
    workers: &dyn Workers,
) {
    let parts: Vec<(usize, &mut [f32])> = map.chunks_mut(PART * columns).enumerate().collect();
    each(workers, parts, |(part, map)| {
        for (first, width, lines) in strips {
            for (row, map) in map.chunks_mut(columns).enumerate() {
                for k in 0..*width {
                    map[first + k] = lines[k * rows + part * PART + row];
                }
            }
        }
    });
}
