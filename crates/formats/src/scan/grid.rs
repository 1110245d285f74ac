//! NPY (floats, in millimetres unless a unit is given) and TIFF (floats in a given unit;
//! whole numbers times the given unit).

use std::io::{BufReader, Read};

use tiff::decoder::{Decoder, DecodingResult, Limits};
use tiff::tags::Tag;
use tooth_measure::Length;
use tooth_texture::HeightMap;

use super::{Asked, Named, Opened, Scan, grid_scan};
use crate::text::Fault;

/// Heights of a grid at most.
const HEIGHTS: usize = 1 << 28;

pub(crate) fn npy(named: &Named<'_>, file: Opened, asked: &Asked) -> Result<Scan, Fault> {
    let mut file = BufReader::with_capacity(1 << 20, file);
    let broken = |what: &str| named.refuse("an NPY file of floats", what.to_owned());
    let mut start = [0u8; 8];
    file.read_exact(&mut start).map_err(|_| broken("a file that ends too soon"))?;
    let length = if start[6] == 1 {
        let mut size = [0u8; 2];
        file.read_exact(&mut size).map_err(|_| broken("a file that ends too soon"))?;
        usize::from(u16::from_le_bytes(size))
    } else {
        let mut size = [0u8; 4];
        file.read_exact(&mut size).map_err(|_| broken("a file that ends too soon"))?;
        u32::from_le_bytes(size) as usize
    };
    if length > 65_536 {
        return Err(broken("a head that is too long"));
    }
    let mut head = vec![0u8; length];
    file.read_exact(&mut head).map_err(|_| broken("a file that ends too soon"))?;
    let head = String::from_utf8(head).map_err(|_| broken("a head that is no text"))?;
    let value = |key: &str| {
        let rest = head.split_once(&format!("'{key}':"))?.1.trim_start();
        Some(rest)
    };
    let kind = value("descr")
        .and_then(|rest| rest.strip_prefix('\''))
        .and_then(|rest| rest.split_once('\''))
        .map(|(kind, _)| kind.to_owned())
        .ok_or_else(|| broken("heights without a kind"))?;
    let columns_first = value("fortran_order").is_some_and(|rest| rest.starts_with("True"));
    let shape: Vec<usize> = value("shape")
        .and_then(|rest| rest.strip_prefix('('))
        .and_then(|rest| rest.split_once(')'))
        .map(|(sizes, _)| sizes.split(',').map(str::trim).filter(|s| !s.is_empty()))
        .and_then(|sizes| sizes.map(|size| size.parse().ok()).collect())
        .ok_or_else(|| broken("heights without a shape"))?;
    let (rows, columns) = match shape.as_slice() {
        [count] | [count, 1] => (1, *count),
        [rows, columns] => (*rows, *columns),
        _ => return Err(broken(&format!("{} dimensions", shape.len()))),
    };
    let count = rows.checked_mul(columns).filter(|count| *count > 0 && *count <= HEIGHTS);
    let Some(count) = count else {
        return Err(named.refuse(format!("1 to {HEIGHTS} heights"), format!("{rows} × {columns}")));
    };
    let spacing = named.spacing(asked)?;
    let factor = asked.unit.map_or(1.0, Length::millimetres);
    let heights = match kind.as_str() {
        "<f4" => floats(named, &mut file, count, factor, |b: [u8; 4]| f32::from_le_bytes(b).into()),
        ">f4" => floats(named, &mut file, count, factor, |b: [u8; 4]| f32::from_be_bytes(b).into()),
        "<f8" => floats(named, &mut file, count, factor, f64::from_le_bytes),
        ">f8" => floats(named, &mut file, count, factor, f64::from_be_bytes),
        kind => Err(broken(&format!("numbers of kind `{kind}`"))),
    }?;
    let (heights, datum) = heights;
    let datum = Length::from_millimetres(datum);
    if columns_first {
        let map = named.map(HeightMap::single(columns, rows, spacing, heights, datum))?;
        return Ok(grid_scan(map.transposed()));
    }
    Ok(grid_scan(named.map(HeightMap::single(rows, columns, spacing, heights, datum))?))
}

/// So many floats in millimetres over the first that is one, and it.
fn floats<const N: usize>(
    named: &Named<'_>,
    file: &mut impl Read,
    count: usize,
    factor: f64,
    decode: impl Fn([u8; N]) -> f64,
) -> Result<(Vec<f32>, f64), Fault> {
    // What is announced may not be there: grow with what is.
    let mut heights: Vec<f32> = Vec::new();
    let mut datum: Option<f64> = None;
    let mut bytes = vec![0u8; N << 16];
    while heights.len() < count {
        let now = (count - heights.len()).min(1 << 16);
        if file.read_exact(&mut bytes[..now * N]).is_err() {
            let expected = format!("{count} heights");
            return Err(named.refuse(expected, format!("a file that ends after {}", heights.len())));
        }
        if heights.is_empty() {
            // Room for all at once once the first piece is there, so that growing copies nothing.
            heights.reserve_exact(count);
        }
        for chunk in bytes[..now * N].chunks_exact(N) {
            let Ok(chunk) = <[u8; N]>::try_from(chunk) else { continue };
            let z = decode(chunk) * factor;
            if z.is_finite() {
                heights.push((z - *datum.get_or_insert(z)) as f32);
            } else {
                heights.push(f32::NAN);
            }
        }
    }
    Ok((heights, datum.unwrap_or(0.0)))
}

pub(crate) fn tiff(named: &Named<'_>, file: Opened, asked: &Asked) -> Result<Scan, Fault> {
    let wrong = |error: tiff::TiffError| named.refuse("a TIFF of heights", error.to_string());
    let mut limits = Limits::default();
    limits.decoding_buffer_size = HEIGHTS * 4;
    limits.intermediate_buffer_size = HEIGHTS;
    let mut decoder = Decoder::new(BufReader::new(file)).map_err(wrong)?.with_limits(limits);
    let (columns, rows) = decoder.dimensions().map_err(wrong)?;
    let (rows, columns) = (rows as usize, columns as usize);
    if rows.checked_mul(columns).is_none_or(|count| count > HEIGHTS) {
        return Err(
            named.refuse(format!("at most {HEIGHTS} heights"), format!("{rows} × {columns}"))
        );
    }
    let spacing = named.spacing(asked)?;
    let factor = named.unit(asked)?;
    let missing = decoder
        .find_tag(Tag::Unknown(NO_DATA))
        .ok()
        .flatten()
        .and_then(|tag| tag.into_string().ok())
        .and_then(|text| text.trim_matches(['\0', ' ']).parse::<f64>().ok());
    let all = |z: &mut dyn Iterator<Item = f64>| singles(z, missing, factor);
    let (heights, datum) = match decoder.read_image().map_err(wrong)? {
        DecodingResult::F32(z) => all(&mut z.into_iter().map(f64::from)),
        DecodingResult::F64(z) => all(&mut z.into_iter()),
        DecodingResult::U16(z) => all(&mut z.into_iter().map(f64::from)),
        DecodingResult::U32(z) => all(&mut z.into_iter().map(f64::from)),
        DecodingResult::I16(z) => all(&mut z.into_iter().map(f64::from)),
        DecodingResult::I32(z) => all(&mut z.into_iter().map(f64::from)),
        _ => {
            return Err(named.refuse(
                "heights of 16 or 32 bits",
                "samples of another kind: a photograph has no heights",
            ));
        }
    };
    if heights.len() != rows * columns {
        return Err(named.refuse("one height per point", "several channels: a picture"));
    }
    let datum = Length::from_millimetres(datum);
    Ok(grid_scan(named.map(HeightMap::single(rows, columns, spacing, heights, datum))?))
}

/// Tag of the value that stands for a missing height, as text (common practice of maps).
const NO_DATA: u16 = 42_113;

/// Heights times a factor, over the first of them, and it.
fn singles(
    heights: &mut dyn Iterator<Item = f64>,
    missing: Option<f64>,
    factor: f64,
) -> (Vec<f32>, f64) {
    let mut datum: Option<f64> = None;
    let singles = heights
        .map(|z| {
            let is_missing = missing.is_some_and(|missing| z.total_cmp(&missing).is_eq());
            if is_missing || !z.is_finite() {
                return f32::NAN;
            }
            let z = z * factor;
            (z - *datum.get_or_insert(z)) as f32
        })
        .collect();
    (singles, datum.unwrap_or(0.0))
}
