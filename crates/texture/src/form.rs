//! Form removal (the F-operation of ISO 25178-2): nothing, or the least-squares plane.

use nalgebra::{Matrix3, Vector3};

use crate::map::HeightMap;
use crate::workers::Workers;

/// What is taken off before anything else. The mean always is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Form {
    /// Nothing but the mean.
    None,
    /// The least-squares plane.
    #[default]
    Plane,
}

/// Sums over known heights, of coordinates counted in steps from the middle.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Sums {
    n: f64,
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
    yy: f64,
    z: f64,
    xz: f64,
    yz: f64,
}

impl Sums {
    /// How many heights are known.
    pub(crate) fn known(&self) -> f64 {
        self.n
    }

    /// Their mean as a level plane.
    pub(crate) fn level(&self) -> Plane {
        Plane { middle: if self.n > 0.0 { self.z / self.n } else { 0.0 }, ..Plane::default() }
    }

    pub(crate) fn add(&mut self, other: &Self) {
        self.n += other.n;
        self.x += other.x;
        self.y += other.y;
        self.xx += other.xx;
        self.xy += other.xy;
        self.yy += other.yy;
        self.z += other.z;
        self.xz += other.xz;
        self.yz += other.yz;
    }
}

/// Height at the middle and rises per column and row.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Plane {
    pub(crate) middle: f64,
    pub(crate) per_column: f64,
    pub(crate) per_row: f64,
}

impl Plane {
    pub(crate) fn at(&self, row: f64, column: f64) -> f64 {
        self.middle + self.per_row * row + self.per_column * column
    }
}

/// The least-squares plane through some heights of a grid whose rows have `columns` heights,
/// the first row being number `first` from the middle; level where they do not span one.
pub(crate) fn sums(columns: usize, first: f64, middle_column: f64, heights: &[f32]) -> Sums {
    let mut all = Sums::default();
    for (row, heights) in heights.chunks(columns).enumerate() {
        let y = first + row as f64;
        let mut line = Sums::default();
        for (column, z) in heights.iter().enumerate() {
            let known = !z.is_nan();
            let (w, z) = if known { (1.0, f64::from(*z)) } else { (0.0, 0.0) };
            let x = column as f64 - middle_column;
            line.n += w;
            line.x += w * x;
            line.xx += w * x * x;
            line.z += z;
            line.xz += x * z;
        }
        line.y = line.n * y;
        line.xy = line.x * y;
        line.yy = line.n * y * y;
        line.yz = line.z * y;
        all.add(&line);
    }
    all
}

pub(crate) fn solve(all: &Sums) -> Plane {
    let level = all.level();
    let matrix = Matrix3::new(
        all.n, all.x, all.y, //
        all.x, all.xx, all.xy, //
        all.y, all.xy, all.yy,
    );
    // A single row or column leaves one rise open: then it is nothing.
    let Some(answer) =
        matrix.svd(true, true).solve(&Vector3::new(all.z, all.xz, all.yz), 1e-9).ok()
    else {
        return level;
    };
    Plane { middle: answer[0], per_column: answer[1], per_row: answer[2] }
}

/// Middle of a grid, in rows and columns.
pub(crate) fn middle(count: usize) -> f64 {
    (count as f64 - 1.0) / 2.0
}

pub(crate) fn plane(map: &HeightMap, workers: &dyn Workers) -> Plane {
    let (rows, columns) = (middle(map.rows()), middle(map.columns()));
    let parts = map.parts(workers, |first, heights| {
        sums(map.columns(), first as f64 - rows, columns, heights)
    });
    let mut all = Sums::default();
    for part in &parts {
        all.add(part);
    }
    solve(&all)
}

/// The plane through a small block of rows of one length.
pub(crate) fn plane_of_block(columns: usize, heights: &[f32]) -> Plane {
    let rows = heights.len() / columns.max(1);
    solve(&sums(columns, -middle(rows), middle(columns), heights))
}

/// Takes the form off.
pub(crate) fn remove(map: &mut HeightMap, form: Form, workers: &dyn Workers) {
    let plane = match form {
        Form::None => {
            let parts = map.parts(workers, |_, heights| sums(map.columns(), 0.0, 0.0, heights));
            let mut all = Sums::default();
            for part in &parts {
                all.add(part);
            }
            all.level()
        }
        Form::Plane => plane(map, workers),
    };
    take_off(map, &plane, -middle(map.rows()), middle(map.columns()), workers);
}

/// Takes a plane off a map whose first row is number `first_row` from the plane's middle.
pub(crate) fn take_off(
    map: &mut HeightMap,
    plane: &Plane,
    first_row: f64,
    middle_column: f64,
    workers: &dyn Workers,
) {
    let columns = map.columns();
    map.change(workers, |first, heights| {
        for (row, heights) in heights.chunks_mut(columns).enumerate() {
            let start = plane.at(first_row + (first + row) as f64, -middle_column);
            for (column, z) in heights.iter_mut().enumerate() {
                *z = (f64::from(*z) - (start + plane.per_column * column as f64)) as f32;
            }
        }
    });
}
