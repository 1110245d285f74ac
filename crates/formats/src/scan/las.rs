//! LAS and LAZ: the points' x, y and z, all returns and classes.

use std::io::BufReader;

use las::{PointDataBuilder, Reader};

use super::cloud::{self, Take};
use super::{Asked, Named, Scan, Source};
use crate::text::Fault;

/// Points read at a time.
const PIECE: u64 = 65_536;

pub(crate) fn read(named: &Named<'_>, source: &Source, asked: &Asked) -> Result<Scan, Fault> {
    let factor = named.unit(asked)?;
    cloud::map(named, asked, |take| points(named, source, factor, take))
}

fn points(
    named: &Named<'_>,
    source: &Source,
    factor: f64,
    take: &mut Take<'_>,
) -> Result<(), Fault> {
    let wrong = |error: las::Error| named.refuse("a LAS or LAZ file", error.to_string());
    let mut reader =
        Reader::new(BufReader::with_capacity(1 << 20, source.open(named)?)).map_err(wrong)?;
    let mut data = PointDataBuilder::new().for_header(reader.header()).build();
    let mut piece: Vec<[f64; 3]> = Vec::with_capacity(PIECE as usize);
    let mut left = reader.header().number_of_points();
    while left > 0 {
        let read = reader.fill_points(PIECE.min(left), &mut data).map_err(wrong)?;
        if read == 0 {
            return Err(named.refuse("all its points", format!("a file that lacks {left}")));
        }
        left -= read.min(left);
        piece.clear();
        let points = data.x().zip(data.y()).zip(data.z());
        piece.extend(points.map(|((x, y), z)| [x * factor, y * factor, z * factor]));
        take(&piece)?;
    }
    Ok(())
}
